"""Level: the fader moves by the rep's own size, and only who can be heard to move is on offer."""

import pytest
from numpy.random import default_rng

from exercises.level import EXERCISE, draw
from tests.noise_show import NoiseShow
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


def test_where_too_few_are_heard_to_move_another_excerpt_is_asked_for() -> None:
    with pytest.raises(Unhearable, match="too few stems"):
        draw(EXCERPT, Focus(0.3, "stem", None, 1), default_rng(1))


def test_the_remedy_is_the_opposite_move() -> None:
    drawn = draw(EXCERPT, Focus(5.0, "section", None, 1), default_rng(2))
    assert EXERCISE.remedy(drawn.answer, drawn.question).endswith("fader (or group fader) down by 5 dB")
