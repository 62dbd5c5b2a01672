"""Level: the fader moves by the rep's own size, and the offer, of who is heard to move, tells nothing else."""

from collections import Counter
from dataclasses import replace

import pytest
from numpy.random import default_rng
from scipy.stats import chisquare

from exercises.level import EXERCISE, draw
from tests.noise_show import NoiseShow
from trainer.practice import audibility
from trainer.practice.change import Edit, Level
from trainer.practice.exercise import Focus, Unhearable

EXCERPT = NoiseShow().excerpt(1)


@pytest.mark.parametrize(("size", "step"), [(2.0, 1.5), (4.0, 3.0), (5.0, 6.0), (12.0, 12.0)])
def test_the_fader_moves_by_the_size_and_the_answer_is_the_nearest_step(size: float, step: float) -> None:
    drawn = draw(EXCERPT, Focus(size, "section", None, -1), default_rng(2))
    assert drawn.answer["amount"] == step
    change = EXERCISE.change(drawn.answer, drawn.question, EXCERPT)
    assert change.edits == (Edit(str(drawn.answer["which"]), Level(-size)),)


def test_a_wrong_amount_is_played_as_said() -> None:
    drawn = draw(EXCERPT, Focus(5.0, "section", None, 1), default_rng(2))
    wrong = {**drawn.answer, "amount": 12.0}
    assert EXERCISE.change(wrong, drawn.question, EXCERPT).edits[0].process == Level(12.0)


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_sections_or_stems_are_on_offer_as_asked(scope: str) -> None:
    drawn = draw(EXCERPT, Focus(6.0, scope, None, 1), default_rng(3))  # type: ignore[arg-type]
    known = EXCERPT.sections if scope == "section" else EXCERPT.parts
    assert set(drawn.question.fields[0].options) <= set(known)
    assert f"Which {scope}" in drawn.question.text


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_what_is_on_offer_tells_neither_how_far_nor_which_way(scope: str) -> None:
    """The same options at every size and both ways, the unchanged rep among them."""
    offers = {
        tuple((field.key, field.options) for field in drawn.question.fields)
        for size in (0.0, 1.5, 3.0, 8.5, 12.0)
        for direction in (1, -1)
        for drawn in [draw(EXCERPT, Focus(size, scope, None, direction), default_rng(1))]  # type: ignore[arg-type]
    }
    assert len(offers) == 1


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_each_on_offer_is_right_as_often_at_every_size_and_both_ways(scope: str) -> None:
    """Chi-squared against even odds (Pearson 1900), at both ends of the ladder."""
    for size, direction in ((1.5, 1), (12.0, -1)):
        drawn = [
            draw(EXCERPT, Focus(size, scope, None, direction), default_rng(seed))  # type: ignore[arg-type]
            for seed in range(400)
        ]
        counts = Counter(one.answer["which"] for one in drawn)
        assert set(counts) == set(drawn[0].question.fields[0].options)
        assert chisquare(list(counts.values())).pvalue > 0.001


def test_on_offer_is_what_moves_by_the_scopes_hardest_size() -> None:
    for scope, candidates, size_db in (("section", EXCERPT.sections, 1.5), ("stem", EXCERPT.parts, 3.0)):
        drawn = draw(EXCERPT, Focus(12.0, scope, None, 1), default_rng(3))  # type: ignore[arg-type]
        offered = audibility.movable(EXCERPT, candidates, size_db=size_db)
        assert drawn.question.fields[0].options == offered


def test_a_stem_is_moved_by_3_db_at_least_and_no_less_is_on_offer() -> None:
    drawn = draw(EXCERPT, Focus(1.5, "stem", None, 1), default_rng(3))
    assert (drawn.question.size, drawn.answer["amount"]) == (3.0, 3.0)
    assert drawn.question.fields[2].options == (3.0, 6.0, 12.0)
    (edit,) = EXERCISE.change(drawn.answer, drawn.question, EXCERPT).edits
    assert edit.process == Level(3.0)
    section = draw(EXCERPT, Focus(1.5, "section", None, 1), default_rng(3))
    assert section.question.fields[2].options == (1.5, 3.0, 6.0, 12.0)


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_at_size_zero_the_fader_stays(scope: str) -> None:
    drawn = draw(EXCERPT, Focus(0.0, scope, None, 1), default_rng(3))  # type: ignore[arg-type]
    assert EXERCISE.change(drawn.answer, drawn.question, EXCERPT).edits[0].process in (
        Level(0.0),
        Level(-0.0),
    )


def test_two_to_choose_from_are_enough() -> None:
    two = replace(EXCERPT, stems={part: EXCERPT.stems[part] for part in ("cymbals", "sub")})
    assert draw(two, Focus(6.0, "stem", None, 1), default_rng(1)).question.fields[0].options == (
        "cymbals",
        "sub",
    )


def test_where_too_few_are_heard_to_move_another_excerpt_is_asked_for() -> None:
    alone = replace(EXCERPT, stems={"cymbals": EXCERPT.stems["cymbals"]})
    with pytest.raises(Unhearable, match="too few stems"):
        draw(alone, Focus(12.0, "stem", None, 1), default_rng(1))


def test_the_remedy_is_the_opposite_move() -> None:
    drawn = draw(EXCERPT, Focus(5.0, "section", None, 1), default_rng(2))
    assert EXERCISE.remedy(drawn.answer, drawn.question).endswith("fader (or group fader) down by 5 dB")
