"""The sitting: comes back from its text as it was, and nothing else passes for one."""

import json
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.sitting import Sitting, from_text, to_text

SITTING = Sitting(
    uid="0123456789abcdef" * 2,
    learner="Heron",
    exercises=("level", "octave-tone"),
    show="field-show",
    count=10,
    seed=7,
    size=None,
    begun_at=datetime(2031, 2, 3, 18, 0, tzinfo=UTC),
)
NAMES = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
SITTINGS = st.builds(
    Sitting,
    uid=st.uuids().map(lambda uid: uid.hex),
    learner=NAMES,
    exercises=st.lists(NAMES, min_size=1, max_size=3).map(tuple),
    show=NAMES,
    count=st.integers(1, 200),
    seed=st.integers(0, 2**64),
    size=st.none() | st.floats(allow_nan=False, allow_infinity=False),
    begun_at=st.datetimes(timezones=st.sampled_from([UTC, timezone(timedelta(minutes=345))])),
)


@given(SITTINGS)
def test_any_sitting_comes_back_equal(sitting: Sitting) -> None:
    """Law: reading what was written gives the same sitting."""
    assert from_text(to_text(sitting)) == sitting


@pytest.mark.parametrize(
    "changed",
    [
        {"uid": "7"},
        {"uid": "G" * 32},
        {"uid": None},
        {"learner": 5},
        {"exercises": []},
        {"exercises": "level"},
        {"exercises": [3]},
        {"show": None},
        {"count": 0},
        {"count": 2.5},
        {"count": True},
        {"seed": -1},
        {"seed": "7"},
        {"size": "9"},
        {"size": float("nan")},
        {"begun_at": "yesterday"},
        {"begun_at": "2031-02-03T18:00:00"},
        {"begun_at": 5},
        {"edition": 2},
    ],
    ids=str,
)
def test_a_text_with_something_wrong_in_it_is_no_sitting(changed: dict[str, Any]) -> None:
    plain = json.loads(to_text(SITTING))
    assert from_text(json.dumps(plain)) == SITTING
    with pytest.raises(ValueError, match=r"."):
        from_text(json.dumps(plain | changed))


@pytest.mark.parametrize("text", ["", "5", "[]", "{", "null", "{}"])
def test_other_texts_are_no_sittings(text: str) -> None:
    with pytest.raises(ValueError, match=r"sitting|Expecting"):
        from_text(text)
