"""Marking a quiz: what answers are worth, guessing taken away, one sheet a learner, kept once."""

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.noise_show import SameNoise
from tests.season.quizzes import EXERCISES, MADE_AT, TAKEN_AT, quiz_of, rng_of, wish_of
from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.fields import AmountField
from trainer.practice.values import Answer
from trainer.progress.replay import replay
from trainer.progress.store import Store, open_store
from trainer.refusal import Refused
from trainer.season.answer_files import Returned, attempts_of, sitting_of
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_draw import drawn
from trainer.season.quiz_marking import (
    Sheet,
    beyond_guessing,
    guessed,
    mark,
    score_of,
    scores_by_band,
    scores_by_field,
    sheets_of,
)
from trainer.season.quiz_sittings import allow_sittings
from trainer.season.quiz_wish import part_of


@pytest.fixture(scope="module")
def quiz() -> Quiz:
    """Return a quiz of ten octave tones, one a band, and two levels."""
    parts = (
        part_of(EXERCISES["octave-tone"], items=10, sizes=(9.0, 9.0)),
        part_of(EXERCISES["level"], items=2, sizes=(12.0, 12.0)),
    )
    return quiz_of(tuple(drawn(wish_of(*parts), EXERCISES, SameNoise())))


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "store.sqlite", now=MADE_AT) as opened:
        yield opened


@pytest.fixture(scope="module")
def tones(quiz: Quiz) -> Quiz:
    return replace(quiz, items=quiz.items[:10])


def returned(answers: dict[int, Answer], *, learner: str = "Heron", sitting: str = "") -> Returned:
    return Returned(learner, TAKEN_AT, sitting, answers)


def all_right(quiz: Quiz) -> dict[int, Answer]:
    return {item.number: item.answer for item in quiz.items}


def off_by(item: QuizItem, octaves: int, *, wrong_way: bool) -> Answer:
    place = OCTAVE_SCALE.place(float(item.answer["band"]))
    band_hz = OCTAVE_SCALE.names_hz[place + octaves if place + octaves < 10 else place - octaves]
    ways = {"boost": "cut", "cut": "boost"}
    way = str(item.answer["direction"])
    return {"band": band_hz, "direction": ways[way] if wrong_way else way}


WORTH = [
    (octaves, wrong_way, band * (0.4 if wrong_way else 1.0))
    for octaves, band in ((0, 1.0), (1, 0.5), (2, 0.2), (3, 0.0), (4, 0.0))
    for wrong_way in (False, True)
]


@pytest.mark.parametrize(("octaves", "wrong_way", "worth"), WORTH)
def test_regression_an_octave_tone_is_worth_its_band_times_its_way(
    tones: Quiz, octaves: int, wrong_way: bool, worth: float
) -> None:
    """Marks 1, .5, .2, 0 and 1, .4: chosen by simulated quizzes for their reliability."""
    item = tones.items[0]
    attempt = attempts_of(tones, returned({1: off_by(item, octaves, wrong_way=wrong_way)}), EXERCISES)[0]
    assert attempt.score == pytest.approx(worth)


def test_guessing_is_worth_155_thousandths_and_is_shown_as_nothing(tones: Quiz) -> None:
    """(.1 + .18 x .5 + .16 x .2) x (1 + .4) / 2 = .1554, by hand; and a guesser of 400 quizzes lies at it."""
    by_guessing = [guessed(item) for item in tones.items]
    assert np.mean(by_guessing) == pytest.approx((0.1 + 0.18 * 0.5 + 0.16 * 0.2) * 1.4 / 2)
    rng, reached = rng_of(3), []
    for _ in range(400):
        answers = {
            item.number: {one.key: rng.choice(one.options) for one in item.question.fields}
            for item in tones.items
        }
        answers = {
            n: {"band": float(a["band"]), "direction": str(a["direction"])} for n, a in answers.items()
        }
        reached += [attempt.score for attempt in attempts_of(tones, returned(answers), EXERCISES)]
    assert np.mean(reached) == pytest.approx(0.1554, abs=4 * np.std(reached) / math.sqrt(len(reached)))
    assert beyond_guessing(by_guessing, by_guessing) == 0.0
    assert beyond_guessing([0.0], [0.155]) == 0.0
    assert beyond_guessing([1.0], [0.155]) == 1.0
    assert beyond_guessing([0.577], [0.154]) == pytest.approx(0.5)


def test_everything_right_is_100_percent_on_the_whole_and_in_every_part(quiz: Quiz) -> None:
    (sheet,) = sheets_of(attempts_of(quiz, returned(all_right(quiz), sitting="0" * 32), EXERCISES))
    assert score_of(quiz, sheet) == 1.0
    by_field = scores_by_field(quiz, sheet)
    assert set(by_field) == {"octave band", "direction", "section", "amount"}
    assert set(by_field.values()) == set(scores_by_band(quiz, sheet).values()) == {1.0}
    assert set(scores_by_band(quiz, sheet)) >= set(OCTAVE_SCALE.names_hz)


def test_a_band_that_is_always_missed_is_seen_in_its_band_alone(tones: Quiz) -> None:
    item = tones.items[0]
    answers = all_right(tones) | {1: off_by(item, 3, wrong_way=False)}
    (sheet,) = sheets_of(attempts_of(tones, returned(answers, sitting="0" * 32), EXERCISES))
    by_band = scores_by_band(tones, sheet)
    assert by_band.pop(float(item.answer["band"])) == 0.0
    assert set(by_band.values()) == {1.0}
    fields = scores_by_field(tones, sheet)
    assert fields["direction"] == 1.0
    assert fields["octave band"] < 1.0


def test_an_item_left_out_is_worth_nothing(tones: Quiz) -> None:
    attempts = attempts_of(tones, returned({1: tones.items[0].answer}, sitting="0" * 32), EXERCISES)
    assert [attempt.score for attempt in attempts] == [1.0] + 9 * [0.0]
    (sheet,) = sheets_of(attempts)
    assert sheet.answered == 1
    assert sheet.is_right(tones.items[0])
    assert not sheet.is_right(tones.items[1])


def test_an_item_that_was_not_answered_or_was_given_up_is_worth_nothing_anywhere(tones: Quiz) -> None:
    """A sitting left in the middle lacks attempts; paper left blank and items given up have empty ones."""
    whole = attempts_of(tones, returned({1: tones.items[0].answer}, sitting="0" * 32), EXERCISES)
    (left,) = sheets_of(whole[:1])
    (blank,) = sheets_of(whole)
    for sheet in (left, blank):
        assert [sheet.credit(item) for item in tones.items] == [1.0] + 9 * [0.0]
        assert [sheet.is_right(item) for item in tones.items] == [True] + 9 * [False]
        assert [sheet.is_named(item) for item in tones.items] == [True] + 9 * [False]
        assert sheet.answered == 1
        chance = 0.1554
        assert score_of(tones, sheet) == max(0.0, (0.1 - chance) / (1.0 - chance)) == 0.0
        assert set(scores_by_field(tones, sheet).values()) == {0.0}
        by_band = scores_by_band(tones, sheet)
        assert by_band.pop(float(tones.items[0].answer["band"])) == 1.0
        assert set(by_band.values()) == {0.0}
    assert Sheet("Heron", "", {}).answered == 0
    assert len({left, replace(left, learner="Plover")}) == 2


def test_a_field_that_was_not_filled_in_is_worth_nothing_in_its_field(tones: Quiz) -> None:
    """Nine of ten answered, all right; by hand: guessing a band is worth .1 + .18 x .5 + .16 x .2 = .222 on average
    (.1554 with the direction), a direction (1 + .4) / 2 = .7.
    """
    answers = {item.number: item.answer for item in tones.items[:9]}
    for attempts in (slice(None), slice(9)):
        (sheet,) = sheets_of(attempts_of(tones, returned(answers, sitting="0" * 32), EXERCISES)[attempts])
        by_field = scores_by_field(tones, sheet)
        assert by_field["octave band"] == pytest.approx((0.9 - 0.222) / (1.0 - 0.222))
        assert by_field["direction"] == pytest.approx((0.9 - 0.7) / (1.0 - 0.7))
        assert score_of(tones, sheet) == pytest.approx((0.9 - 0.1554) / (1.0 - 0.1554))


def test_a_field_that_an_exercise_gives_no_mark_is_worth_nothing_in_its_field(tones: Quiz) -> None:
    whole = attempts_of(tones, returned(all_right(tones), sitting="0" * 32), EXERCISES)
    (sheet,) = sheets_of(replace(attempt, marks={"direction": 1.0}) for attempt in whole)
    assert scores_by_field(tones, sheet) == {"octave band": 0.0, "direction": 1.0}


def test_naming_leaves_out_by_how_much(quiz: Quiz) -> None:
    """Section and direction right, the amount far off: named, though not wholly right."""
    item = quiz.items[10]
    amount = next(one for one in item.question.fields if one.key == "amount")
    assert isinstance(amount, AmountField)
    far = next(option for option in amount.options if amount.mark(option, item.answer["amount"]) < 1.0)
    (sheet,) = sheets_of(
        attempts_of(quiz, returned({11: {**item.answer, "amount": far}}, sitting="0" * 32), EXERCISES)
    )
    assert (sheet.is_named(item), sheet.is_right(item)) == (True, False)


def test_where_an_answer_says_nothing_of_an_ear_it_is_named_if_it_is_right(tones: Quiz) -> None:
    answers = {1: tones.items[0].answer, 2: off_by(tones.items[1], 1, wrong_way=False)}
    attempts = attempts_of(tones, returned(answers, sitting="0" * 32), EXERCISES)
    (sheet,) = sheets_of(replace(attempt, evidence=()) for attempt in attempts)
    assert [sheet.is_named(item) for item in tones.items[:3]] == [True, False, False]


def test_what_leaves_no_choice_is_shown_as_it_is() -> None:
    assert beyond_guessing([0.5], [1.0]) == 0.5


def test_of_several_sittings_the_first_whole_one_counts_and_else_the_fullest(tones: Quiz) -> None:
    def sitting(number: int, answered: int) -> list[Attempt]:
        answers = {item.number: item.answer for item in tones.items[:answered]}
        return attempts_of(tones, returned(answers, sitting=f"{number:032x}"), EXERCISES)[:answered]

    for sittings, counted in (((2, 5, 3), 5), ((10, 10), 10), ((3, 3), 3)):
        made = [sitting(number, answered) for number, answered in enumerate(sittings, 1)]
        (sheet,) = sheets_of(attempt for one in made for attempt in one)
        assert len(sheet.attempts) == counted
        assert sheet.block == f"{sittings.index(counted) + 1:032x}"
    first, again = sitting(1, 2)[0], sitting(1, 1)[0]
    (sheet,) = sheets_of([first, replace(again, score=0.3)])
    assert sheet.credit(tones.items[0]) == 1.0, "what was answered first counts"


def test_a_band_is_that_for_which_an_item_counts_most(tones: Quiz) -> None:
    item = replace(tones.items[0], bands={125.0: 0.2, 250.0: 0.5, 500.0: 0.3})
    nowhere = replace(tones.items[1], bands={})
    one = replace(tones, items=(item, nowhere))
    (sheet,) = sheets_of(attempts_of(one, returned({1: item.answer}, sitting="0" * 32), EXERCISES))
    assert scores_by_band(one, sheet) == {250.0: 1.0}


def test_a_sitting_with_other_answers_or_a_part_of_them_is_another(store: Store, tones: Quiz) -> None:
    allow_sittings(store, tones, "Heron", 3, now=TAKEN_AT)
    two = {item.number: item.answer for item in tones.items[:2]}
    store.log.add_all(attempts_of(tones, returned(two, sitting="1" * 32), EXERCISES)[:2])
    assert mark(store, tones, [returned(two)], EXERCISES)[1] == 1, (
        "two items in the program are no whole sheet"
    )
    assert mark(store, tones, [returned({**two, 3: {}})], EXERCISES)[1] == 0, "an empty answer is none"
    assert mark(store, tones, [returned({1: two[1]})], EXERCISES)[1] == 1
    with pytest.raises(Refused, match="Heron has taken 'Week 3' already"):
        mark(store, tones, [returned({2: two[2]})], EXERCISES)


def test_a_file_of_a_sitting_that_is_kept_already_is_refused_however_many_are_allowed(
    store: Store, tones: Quiz
) -> None:
    allow_sittings(store, tones, "Heron", 5, now=TAKEN_AT)
    mark(store, tones, [returned(all_right(tones), sitting="3" * 32)], EXERCISES)
    with pytest.raises(Refused, match="has taken 'Week 3' already"):
        mark(store, tones, [returned({}, sitting="3" * 32)], EXERCISES)
    sheets, fresh = mark(store, tones, [returned({}), returned({}, learner="Plover")], EXERCISES)
    assert (fresh, [sheet.learner for sheet in sheets]) == (2, ["Heron", "Plover"])
    blocks = {one.block for one in store.log.attempts(quiz=tones.uid, learner="Heron")}
    assert blocks == {"3" * 32, sitting_of(tones, "Heron", 2)}
    assert {one.block for one in store.log.attempts(learner="Plover")} == {sitting_of(tones, "Plover", 1)}
    assert [
        sheet.learner for sheet in mark(store, tones, [returned({}, learner="Plover")], EXERCISES)[0]
    ] == ["Plover"]


def test_marking_again_changes_nothing_and_other_answers_are_refused_until_allowed(
    store: Store, tones: Quiz
) -> None:
    first = [returned(all_right(tones)), returned({}, learner="Plover")]
    sheets, fresh = mark(store, tones, first, EXERCISES)
    assert ([sheet.learner for sheet in sheets], fresh) == (["Heron", "Plover"], 2)
    assert mark(store, tones, first, EXERCISES)[1] == 0
    assert len(list(store.log.attempts(quiz=tones.uid))) == 20
    others = returned({1: tones.items[0].answer})
    with pytest.raises(Refused, match=r"Heron has taken 'Week 3' already, on 2031-03-04.*nothing was marked"):
        mark(store, tones, [returned({}, learner="Dunlin"), others], EXERCISES)
    assert len(list(store.log.attempts(quiz=tones.uid))) == 20
    allow_sittings(store, tones, "Heron", 2, now=TAKEN_AT)
    sheets, fresh = mark(store, tones, [others], EXERCISES)
    assert fresh == 1
    assert score_of(tones, sheets[0]) == 1.0, "the first whole sitting counts"


def test_two_laptops_that_mark_the_same_sheet_keep_the_same(tmp_path: Path, tones: Quiz) -> None:
    stores = [open_store(tmp_path / name, now=MADE_AT) for name in ("one.sqlite", "two.sqlite")]
    for one in stores:
        mark(one, tones, [returned(all_right(tones))], EXERCISES)
    assert list(stores[0].log.attempts()) == list(stores[1].log.attempts())
    assert stores[0].merge(stores[1]) == 0
    for one in stores:
        one.close()


def test_quiz_answers_are_a_kind_of_their_own_to_the_thresholds(store: Store, tones: Quiz) -> None:
    mark(store, tones, [returned(all_right(tones))], EXERCISES)
    ear = replay(store.log.attempts(learner="Heron"))
    assert ear.kinds == ("octave-tone/mix/quiz",)
    assert ear.answers == 10
