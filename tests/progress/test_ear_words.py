"""An ear in words: intervals as they are spoken of, chances instead of significance, and better and worse alike."""

import dataclasses
import itertools
import re

import pytest

from trainer.progress.ear_words import named_words, range_words, size_words, to_go_words, weeks_shown
from trainer.progress.figures.improvement import BandChange, Change, Improvement, TooEarly
from trainer.progress.figures.intervals import Estimate, Interval
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.progress.improvement_words import bands_words, chance_words, improvement_words

KNOWN = SmallestChange(250.0, 30.0, 0, 5.2, Interval(4.1, 6.1), None, Estimate(0.8, Interval(0.7, 0.9), 30.0))


def test_regression_the_words_of_a_figure() -> None:
    assert size_words(KNOWN) == "5.2 dB"
    assert range_words(KNOWN) == "4.1–6.1 dB"
    assert range_words(KNOWN, unit="") == "4.1–6.1"
    assert named_words(KNOWN) == "You name about 4.1–6.1 dB here."


def test_regression_the_words_beyond_all_that_is_asked() -> None:
    beyond = dataclasses.replace(KNOWN, t75_db=17.0, interval=Interval(11.2, 24.0))
    assert (size_words(beyond), range_words(beyond)) == ("> 15 dB", "from 11.2 dB")
    assert named_words(beyond) == "You name about 11.2 dB and more here."
    far = dataclasses.replace(KNOWN, t75_db=40.0, interval=Interval(18.0, 90.0))
    assert (size_words(far), range_words(far)) == ("> 15 dB", "over 15 dB")
    assert named_words(far) == "Here you would need more than 15 dB."


def test_no_number_is_told_where_it_is_too_early() -> None:
    early = dataclasses.replace(KNOWN, missing=12)
    assert size_words(early) == "too early to tell"
    assert to_go_words(early) == "12 to go"
    assert named_words(early) == "Too early to tell: 12 more answers to go."
    assert named_words(dataclasses.replace(KNOWN, missing=1)) == "Too early to tell: 1 more answer to go."


@pytest.mark.parametrize("count", [0, 1, 2, 13, 14, 15, 29, 52, 200])
def test_weeks_are_shown_evenly_and_the_last_is_among_them(count: int) -> None:
    weeks = list(range(1, count + 1))
    shown = weeks_shown(weeks)
    assert len(shown) <= 14
    assert shown[-1:] == weeks[-1:]
    assert len({later - earlier for earlier, later in itertools.pairwise(shown)}) <= 1
    if count <= 14:
        assert shown == weeks


SMALLER = Change(0.97, 0.75, Interval(0.61, 0.9))
LARGER = Change(0.02, 1.2, Interval(1.03, 1.4))
UNSURE = Change(0.71, 0.97, Interval(0.8, 1.15))
BANDS_HZ = (31.5, 63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0, 16000.0)


def changed(
    overall: Change, *, smaller: tuple[float, ...] = (), larger: tuple[float, ...] = ()
) -> Improvement:
    bands = tuple(BandChange(band_hz, overall, 8.0, 6.0, is_told=True) for band_hz in BANDS_HZ)
    return Improvement(overall, bands, smaller, larger)


def test_regression_what_got_better_is_said_on_the_whole_first_then_by_band() -> None:
    assert improvement_words(changed(SMALLER, smaller=(63.0, 125.0, 250.0))) == (
        "Since week 1: smaller on the whole with a chance of 97 %, by about 10–39 %; "
        "smaller at 63, 125 and 250 Hz (chance of error at most 5 %)."
    )
    assert "smaller in every band (" in improvement_words(changed(SMALLER, smaller=BANDS_HZ))
    assert improvement_words(changed(SMALLER)).endswith("by about 10–39 %.")


def test_what_got_worse_is_said_by_the_same_rule_in_the_same_words() -> None:
    better = improvement_words(changed(SMALLER, smaller=(63.0,)))
    worse = improvement_words(changed(LARGER, larger=(63.0,)))
    assert worse == (
        "Since week 1: larger on the whole with a chance of 98 %, by about 3–40 %; "
        "larger at 63 Hz (chance of error at most 5 %)."
    )
    assert re.sub(r"\d+", "", better).replace("smaller", "larger") == re.sub(r"\d+", "", worse)


def test_both_ways_at_once_and_neither() -> None:
    both = improvement_words(changed(UNSURE, smaller=(63.0,), larger=(2000.0, 4000.0)))
    assert both == (
        "Since week 1: no change on the whole can be told (smaller with a chance of 71 %); "
        "smaller at 63 Hz, larger at 2 and 4 kHz (chance of error at most 5 %)."
    )
    assert improvement_words(changed(UNSURE)).endswith("can be told (smaller with a chance of 71 %).")


@pytest.mark.parametrize(
    ("missing", "words"),
    [
        (TooEarly(9, 40), "too early to tell, 9 more days, and 40 more answers in week 1 to go"),
        (TooEarly(14, 1), "too early to tell, 14 more days, and 1 more answer in week 1 to go"),
        (TooEarly(1, 0), "too early to tell, 1 more day to go"),
        (TooEarly(7, 40), "too few answers to compare with: week 1 held 60, and it takes 100"),
        (TooEarly(0, 40), "too few answers to compare with: week 1 held 60, and it takes 100"),
    ],
)
def test_regression_too_early_is_an_answer(missing: TooEarly, words: str) -> None:
    assert improvement_words(missing) == f"Since week 1: {words}."


def test_chances_are_told_as_they_are_and_none_as_certain() -> None:
    assert chance_words(0.971) == "97 %"
    assert {chance_words(chance) for chance in (0.9951, 0.99999, 1.0)} == {"more than 99 %"}
    every = [improvement_words(changed(one, smaller=BANDS_HZ)) for one in (SMALLER, LARGER, UNSURE)]
    assert not any("significan" in words for words in every)


@pytest.mark.parametrize(
    ("bands_hz", "words"),
    [
        ((31.5,), "31.5 Hz"),
        ((63.0, 250.0), "63 and 250 Hz"),
        ((1000.0, 2000.0, 16000.0), "1, 2 and 16 kHz"),
        ((500.0, 1000.0), "500 Hz, 1 kHz"),
    ],
)
def test_regression_bands_as_words(bands_hz: tuple[float, ...], words: str) -> None:
    assert bands_words(bands_hz) == words
