"""How long the long tests are: as short as they still tell; YARDLINE_FULL_TESTS=1 makes them as long as reported."""

import os
from typing import TypeVar

T = TypeVar("T")

IS_FULL = os.environ.get("YARDLINE_FULL_TESTS", "0") not in ("", "0")


def length(short: T, *, full: T) -> T:
    """Return one of two lengths."""
    return full if IS_FULL else short
