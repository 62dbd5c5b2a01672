"""The running order: all of it follows from the sitting, and each place from its own number alone."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from tests.noise_show import SameNoise
from trainer.practice.catalogue import load
from trainer.practice.running_order import deals_of
from trainer.practice.sitting import Sitting
from trainer.refusal import Refused

EXERCISES = [load()[key] for key in ("level", "octave-tone")]
SITTING = Sitting(
    "0" * 32, "Heron", ("level", "octave-tone"), "noise", 5, 7, None, datetime(2031, 2, 3, tzinfo=UTC)
)


def codes(sitting: Sitting, places: Sequence[int], *, failures: int = 0) -> list[str]:
    deals = deals_of(sitting, EXERCISES, SameNoise())
    assert len(deals) == sitting.count
    return [deals[place](failures).code for place in places]


def test_a_place_does_not_hang_on_what_was_dealt_before_it() -> None:
    whole = codes(SITTING, range(5))
    assert len(set(whole)) == 5
    assert [codes(SITTING, [place])[0] for place in (4, 2, 0)] == [whole[4], whole[2], whole[0]]


def test_who_it_is_and_when_changes_nothing_but_the_seed_does() -> None:
    later = datetime(2032, 1, 1, tzinfo=UTC)
    other = replace(SITTING, uid="f" * 32, learner="Plover", begun_at=later)
    assert codes(other, range(2)) == codes(SITTING, range(2))
    assert codes(replace(SITTING, seed=8), range(2)) != codes(SITTING, range(2))


def test_after_a_failure_it_is_another_rep_of_the_next_exercise() -> None:
    first, second, third = (codes(SITTING, [0], failures=failures)[0] for failures in range(3))
    assert first.split(".")[0] != second.split(".")[0]
    assert first.split(".")[0] == third.split(".")[0]
    assert first != third


def test_a_size_of_the_sitting_is_that_of_every_rep_and_is_checked_at_the_door() -> None:
    sized = deals_of(replace(SITTING, size=9.0), EXERCISES, SameNoise())
    assert {deal(0).question.size for deal in sized} == {9.0}
    sizes = {deal(0).question.size for deal in deals_of(SITTING, EXERCISES, SameNoise())}
    assert len(sizes) > 1
    with pytest.raises(Refused, match="size of 40 dB is off the ladder"):
        deals_of(replace(SITTING, size=40.0), EXERCISES, SameNoise())
