"""The season: honest attempts, the same every time, and learners who are as they were planned."""

import math
import zlib
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from rich.progress import Progress

from audio_demo.season.answers import AT_THRESHOLD, LAPSE, answer, named_share, right_share
from audio_demo.season.fill import fill
from audio_demo.season.learners import LEARNERS, Ear, Traits
from audio_demo.season.questions import EXERCISES as ASKED_ABOUT
from audio_demo.season.questions import SOUNDS_AT_HZ, asked, bands_of, candidates
from audio_demo.season.simulate import Season
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.parts import PART_BY_KEY
from trainer.practice.attempt import Attempt
from trainer.practice.catalogue import load
from trainer.practice.exercise import Exercise, Question
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.rep_code import decode
from trainer.progress.ear_figures import ear_figures_of_attempts
from trainer.progress.figures import DirectionBias, band_figures, direction_bias
from trainer.progress.figures.improvement import Improvement
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused

NOW = datetime(2031, 5, 8, 12, tzinfo=UTC)
EXERCISES = load().exercises
SEASON = Season(EXERCISES, NOW, weeks=12, seed=0)
QUESTION = Question("?", (BandField(), DirectionField()), "mix", 6.0, "mix")
RIGHT = {"band": 500.0, "direction": "cut"}


@pytest.fixture(scope="module")
def weeks() -> dict[str, list[list[Attempt]]]:
    return {traits.name: list(SEASON.attempts(traits)) for traits in LEARNERS}


def all_of(name: str, weeks: dict[str, list[list[Attempt]]]) -> list[Attempt]:
    return [attempt for week in weeks[name] for attempt in week]


def share(attempts: list[Attempt]) -> float:
    return sum(attempt.right for attempt in attempts) / len(attempts)


def in_weeks(name: str, chosen: slice, weeks: dict[str, list[list[Attempt]]]) -> float:
    return share([attempt for week in weeks[name][chosen] for attempt in week])


# How they answer.


def test_at_chance_and_at_best_the_shares_are_those_of_guess_and_lapse() -> None:
    """Wichmann & Hill (2001), Perception & Psychophysics 63: psi runs from the guess rate to 1 - lapse."""
    assert right_share(-20.0, 10) == pytest.approx(1 / 10)
    assert right_share(20.0, 10) == pytest.approx(1.0)
    assert named_share(-20.0) == pytest.approx(1 / 20)
    assert named_share(20.0) == pytest.approx(1.0 - LAPSE + LAPSE / 20)


def test_at_the_threshold_three_in_four_are_named_right() -> None:
    """The definition of T75, met by 4000 answers (standard error 0.7 %)."""
    rng = np.random.default_rng(7)
    given = [answer(QUESTION, RIGHT, threshold=6.0, says_up=0.5, rng=rng) for _ in range(4000)]
    assert np.mean([one == RIGHT for one in given]) == pytest.approx(0.75, abs=0.025)
    assert named_share(AT_THRESHOLD) == pytest.approx(0.75)


def test_wrong_bands_lie_near_the_right_one() -> None:
    rng = np.random.default_rng(8)
    given = [answer(QUESTION, RIGHT, threshold=12.0, says_up=0.5, rng=rng)["band"] for _ in range(4000)]
    place = NOMINAL_HZ.index(500.0)
    off = Counter(abs(NOMINAL_HZ.index(float(band)) - place) for band in given if band != 500.0)
    assert off[1] > off[2] > off[3] > off[4]


def test_who_does_not_hear_a_direction_says_boost_as_often_as_planned() -> None:
    """A change far too small to hear: only the guess is left, and the lapses."""
    rng = np.random.default_rng(9)
    given = [answer(QUESTION, RIGHT, threshold=6000.0, says_up=0.9, rng=rng) for _ in range(3000)]
    said = np.mean([one["direction"] == "boost" for one in given])
    assert said == pytest.approx((1.0 - LAPSE) * 0.9 + LAPSE * 0.5, abs=0.03)


def test_a_threshold_falls_by_63_per_cent_of_what_is_gained_in_the_pace() -> None:
    """An exponential approach: 1 - 1/e after one time constant."""
    ear = Ear.of(Traits("Somebody", gained=0.5, pace_days=20.0), np.random.default_rng(1))
    start, then = (math.log(ear.t75_db(1000.0, day=day)) for day in (0.0, 20.0))
    assert start - then == pytest.approx(0.5 * (1.0 - 1.0 / math.e))


def test_neighbouring_bands_of_an_ear_are_alike_and_distant_ones_are_not() -> None:
    ears = np.array([Ear.of(Traits("Somebody"), np.random.default_rng(seed)).first for seed in range(600)])
    together = np.corrcoef(ears.T)
    assert together[3, 4] > 0.6
    assert together[0, 9] < 0.4


# What they are asked.


@pytest.mark.parametrize("chosen", [EXERCISES[key] for key in ASKED_ABOUT], ids=lambda chosen: chosen.key)
def test_a_question_has_the_fields_of_its_exercise(chosen: Exercise) -> None:
    rng = np.random.default_rng(3)
    keys = {"octave-tone": {"band", "direction"}, "level": {"which", "direction", "amount"}}
    expected = keys.get(chosen.key, {"which", "swing", "speed"})
    for _ in range(60):
        rep = asked(chosen, rng)
        chosen.ladder.check(rep.question.size)
        assert {field.key for field in rep.question.fields} == set(rep.answer) == expected
        assert all(rep.answer[field.key] in field.options for field in rep.question.fields)
        assert rep.focus.scope in chosen.scopes
        assert math.fsum(rep.bands.values()) == pytest.approx(1.0)
        assert chosen.remedy(rep.answer, rep.question)


def test_where_the_parts_sound_is_said_of_parts_and_octave_bands_there_are() -> None:
    assert set(SOUNDS_AT_HZ) <= set(PART_BY_KEY)
    assert all(set(bands) <= set(NOMINAL_HZ) for bands in SOUNDS_AT_HZ.values())
    assert bands_of("battery") == (63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0)
    assert candidates("section") == ("front-ensemble", "electronics", "battery", "brass")


# The season.


def test_the_same_seed_and_time_make_the_same_season(weeks: dict[str, list[list[Attempt]]]) -> None:
    again = Season(load().exercises, NOW, weeks=12, seed=0)
    assert list(again.attempts(LEARNERS[1])) == weeks[LEARNERS[1].name]
    other = Season(EXERCISES, NOW, weeks=12, seed=1)
    assert next(other.attempts(LEARNERS[1])) != weeks[LEARNERS[1].name][0]


def test_six_learners_answer_about_25_reps_on_five_days_a_week(weeks: dict[str, list[list[Attempt]]]) -> None:
    assert list(weeks) == ["Heron", "Plover", "Avocet", "Curlew", "Dunlin", "Sanderling"]
    for name in weeks:
        days = Counter(attempt.at.date() for attempt in all_of(name, weeks))
        assert len(days) == 12 * 5
        assert all(day.weekday() < 5 for day in days)
        assert all(20 <= reps <= 30 for reps in days.values())
    total = sum(len(all_of(name, weeks)) for name in weeks)
    assert total == pytest.approx(9000, rel=0.03)


def test_it_ends_in_the_week_before_now(weeks: dict[str, list[list[Attempt]]]) -> None:
    times = [attempt.at for name in weeks for attempt in all_of(name, weeks)]
    assert max(times) < NOW
    assert NOW - max(times) < timedelta(days=11)
    assert SEASON.start.weekday() == 0
    assert min(times) >= SEASON.start


def test_every_exercise_has_its_own_block_every_day(weeks: dict[str, list[list[Attempt]]]) -> None:
    blocks: dict[str, set[str]] = {}
    for attempt in all_of("Heron", weeks):
        blocks.setdefault(attempt.block, set()).add(attempt.exercise)
    assert len(blocks) == 60 * 3
    assert set(map(len, blocks.values())) == {1}
    assert {key for keys in blocks.values() for key in keys} == set(ASKED_ABOUT)


def test_rep_codes_decode_to_what_was_asked(weeks: dict[str, list[list[Attempt]]]) -> None:
    for attempt in all_of("Dunlin", weeks)[::7]:
        spec = decode(attempt.rep_code)
        assert (spec.exercise, spec.show, spec.seed) == (attempt.exercise, attempt.show, attempt.seed)
        assert spec.focus.size == attempt.size
        if attempt.target == "mix":
            assert spec.focus.band_hz == attempt.right_answer["band"]
            assert (spec.focus.direction == 1) is (attempt.right_answer["direction"] == "boost")


def test_who_improves_is_right_more_often_in_the_end(weeks: dict[str, list[list[Attempt]]]) -> None:
    for name in ("Heron", "Plover", "Avocet", "Dunlin", "Sanderling"):
        assert in_weeks(name, slice(9, 12), weeks) > in_weeks(name, slice(0, 2), weeks) + 0.08, name
    assert abs(in_weeks("Curlew", slice(9, 12), weeks) - in_weeks("Curlew", slice(0, 2), weeks)) < 0.12


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_plover_has_a_hole_at_250_hz(seed: int) -> None:
    attempts = [one for week in Season(EXERCISES, NOW, 12, seed).attempts(LEARNERS[1]) for one in week]
    named = [attempt for attempt in attempts if attempt.exercise == "octave-tone"]
    accuracy = {figure.band_hz: figure.accuracy for figure in band_figures(named)}
    assert min(accuracy, key=lambda band_hz: accuracy[band_hz] or 0.0) == 250.0
    assert (accuracy[250.0] or 0.0) < np.mean([value or 0.0 for value in accuracy.values()]) - 0.1


def test_avocet_says_boost_too_often(weeks: dict[str, list[list[Attempt]]]) -> None:
    bias = direction_bias(all_of("Avocet", weeks))
    assert isinstance(bias, DirectionBias)
    assert bias.leans_to == "boost"


# The store.


def test_what_is_told_of_the_learners_ears_holds_what_their_author_knows(
    weeks: dict[str, list[list[Attempt]]],
) -> None:
    """The season's own law gives T75; of 60 intervals at 90 %, 47 or more hold it (binomial, 1 in 500)."""
    start, held = SEASON.start, 0
    for traits in LEARNERS:
        attempts = all_of(traits.name, weeks)
        today = attempts[-1].at.date()
        found = ear_figures_of_attempts(attempts, today=today)
        rng = np.random.default_rng(np.random.SeedSequence([SEASON.seed, zlib.crc32(traits.name.encode())]))
        ear, day = Ear.of(traits, rng), (today - start.date()).days
        held += sum(change.interval.holds(ear.t75_db(change.band_hz, day=day)) for change in found.bands)
        assert isinstance(found.improvement, Improvement)
        assert not found.improvement.larger_hz, "nobody of the six gets worse"
    assert held >= 47


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, int]]:
    """Give a store with one week in it, and how many attempts were added."""
    with open_store(tmp_path_factory.mktemp("season") / "store.sqlite", now=NOW) as store:
        yield store, fill(store, EXERCISES, now=NOW, weeks=1, seed=0, bar=Progress(disable=True))


def test_a_filled_store_gives_back_every_attempt(filled: tuple[Store, int]) -> None:
    store, count = filled
    kept = list(store.log.attempts())
    assert len(kept) == count
    assert set(store.log.learners()) == {traits.name for traits in LEARNERS}
    season = Season(EXERCISES, NOW, weeks=1, seed=0)
    first = {one.uid: one for traits in LEARNERS for week in season.attempts(traits) for one in week}
    assert {attempt.uid: attempt for attempt in kept} == first


def test_a_store_that_knows_a_learner_already_is_refused_and_left_as_it_is(filled: tuple[Store, int]) -> None:
    store, count = filled
    with pytest.raises(Refused, match=r"answers by Heron, Plover.*--home"):
        fill(store, EXERCISES, now=NOW, weeks=2, seed=1, bar=Progress(disable=True))
    assert sum(1 for _ in store.log.attempts()) == count
