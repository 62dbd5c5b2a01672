"""What all tests share: the same examples for laws every time; one thread in a matrix product; the longest first."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings

settings.register_profile("yardline", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("yardline")

LONGEST = (
    "tests/window/test_by_hand.py",
    "tests/test_listening.py",
    "tests/test_season_of_listening.py",
    "tests/window/test_pages.py",
)
"""Begun first, so that where several workers share the tests none is left with a long one at the end."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest tests first; all others stay in their order."""
    places = {path: place for place, path in enumerate(LONGEST)}
    items.sort(key=lambda item: places.get(item.nodeid.split("::")[0], len(LONGEST)))
