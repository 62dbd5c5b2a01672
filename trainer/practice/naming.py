"""Naming: the evidence of exercises whose subject is named in some of their fields."""

from collections.abc import Callable, Sequence

from trainer.practice.evidence import BAND, DIRECTION, LANE_UNIT, WAYS, Evidence, Told
from trainer.practice.exercise import AnswerGiven
from trainer.practice.fields import BandField, DirectionField, Field, OptionField
from trainer.practice.values import Simple, Value, is_simple


def named_by(*keys: str) -> Callable[[AnswerGiven], tuple[Evidence, ...]]:
    """Return what says the evidence of an answer whose subject is named in the fields of these keys.

    All other fields (by how much, say) tell nothing of whether it was heard. A rep without a change says nothing.
    """

    def evidence(answer: AnswerGiven) -> tuple[Evidence, ...]:
        question, ladder = answer.question, answer.ladder
        if question.size <= 0.0:
            return ()
        subject = [one for one in question.fields if one.key in keys]
        told = {name: _told(one, answer) for name, one in _telling(question.fields)}
        way = told.get(DIRECTION)
        return (
            Evidence(
                kind=answer.kind,
                size=question.size if ladder.has_sizes else None,
                unit=ladder.unit,
                start=ladder.start if ladder.has_sizes else None,
                bands=answer.bands if ladder.has_sizes and ladder.unit == LANE_UNIT else {},
                named=all(answer.grade.marks.get(one.key) == 1.0 for one in subject),
                among=tuple(sorted((round(1.0 / one.chance, 9) for one in subject), reverse=True)),
                direction=WAYS.get(way.true, 0) if way else 0,
                told=told,
            ),
        )

    return evidence


def _telling(fields: Sequence[Field]) -> list[tuple[str, OptionField]]:
    """Return the fields that tell of an octave band or of a direction, by what they tell of."""
    bands: list[tuple[str, OptionField]] = [(BAND, one) for one in fields if isinstance(one, BandField)]
    return [*bands, *((DIRECTION, one) for one in fields if isinstance(one, DirectionField))]


def _told(one: OptionField, answer: AnswerGiven) -> Told:
    said = answer.given.get(one.key) if answer.given else None
    everything = len(one.scale) if isinstance(one, BandField) else len(one.options)
    offered = (
        ()
        if len(one.options) == everything
        else tuple(dict.fromkeys(_as_told(one, each) for each in one.options))
    )
    return Told(_as_told(one, answer.right[one.key]), None if said is None else _as_told(one, said), offered)


def _as_told(one: OptionField, value: Value) -> Simple:
    """Return what a value tells: of a band of any scale, the octave band it lies in."""
    if not is_simple(value):
        raise ValueError(f"the {one.title} holds {value!r}, not one of its options")
    return one.scale.octave_hz(float(value)) if isinstance(one, BandField) else value
