"""What the window says of a rep and a block, in the words of a colleague."""

from collections.abc import Mapping, Sequence

from trainer.ensemble.parts import title_of
from trainer.practice.band_scale import band_label
from trainer.practice.band_words import sounds_like
from trainer.practice.block import Mark, Outcome, listen_for
from trainer.practice.deal import Rep
from trainer.practice.exercise import Exercise, described
from trainer.practice.fields import AmountField, BandField
from trainer.practice.values import number_in, text_in

COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def verdict(outcome: Outcome) -> str:
    """Return what it was, and what was said where that was something else."""
    rep = outcome.rep
    truth = f"{described(rep.answer, rep.question)}{_exactly(rep)}"
    if outcome.given is None:
        return f"It was {truth}."
    if outcome.grade.right:
        return f"Right: {truth}."
    missed = [one for one in rep.question.fields if outcome.given[one.key] != rep.answer[one.key]]
    said = ", ".join(one.label(outcome.given[one.key]) for one in missed)
    return f"It was {truth}. You said {said}{_how_far(outcome)}."


def _exactly(rep: Rep) -> str:
    """Return the size of the change; where steps of it were on offer, as what the step stood for."""
    if not rep.exercise.ladder.has_sizes:
        return ""
    size = f"{rep.question.size:g} {rep.exercise.ladder.unit}"
    has_steps = any(isinstance(one, AmountField) for one in rep.question.fields)
    return f", exactly {size}" if has_steps else f" by {size}"


def _how_far(outcome: Outcome) -> str:
    """Return how far the answer was off, for an exercise that asks for a band."""
    given, right = outcome.given or {}, outcome.rep.answer
    one = next((one for one in outcome.rep.question.fields if isinstance(one, BandField)), None)
    if one is None or one.key not in given or given[one.key] == right[one.key]:
        return ""
    steps = one.scale.place(number_in(given, one.key)) - one.scale.place(number_in(right, one.key))
    return f": {distance_words(abs(steps), one.scale.per_octave)} {'high' if steps > 0 else 'low'}"


def distance_words(steps: int, per_octave: int) -> str:
    """Return so many steps of a scale as octaves, the rest of one as thirds: ``one octave and two thirds``."""
    octaves, rest = divmod(steps, per_octave)
    whole = f"{COUNTS[octaves]} {'octave' if octaves == 1 else 'octaves'}" if octaves else ""
    part = f"{COUNTS[rest]} {'third' if rest == 1 else 'thirds'}" if rest else ""
    return " and ".join(filter(None, (whole, part))) + (" of an octave" if part and not whole else "")


def remedy(rep: Rep) -> str:
    """Return the control that undoes the change, as a sentence."""
    words = rep.exercise.remedy(rep.answer, rep.question).rstrip(".")
    return f"{words[:1].upper()}{words[1:]}."


def heard_as(rep: Rep) -> str:
    """Return what such a change sounds like, where the exercise asks for a band."""
    one = next((one for one in rep.question.fields if isinstance(one, BandField)), None)
    if one is None or "direction" not in rep.answer:
        return ""
    octave_hz = one.scale.octave_hz(number_in(rep.answer, one.key))
    direction = text_in(rep.answer, "direction")
    return sounds_like(octave_hz, direction) if direction in ("boost", "cut") else ""


def where_words(rep: Rep) -> str:
    """Return where the rep plays and what it asks about."""
    about = f" · {title_of(rep.question.target)}" if rep.question.target else ""
    return f"{rep.excerpt.title} · {rep.excerpt.room.title}{about}"


def titles_of(keys: Sequence[str], exercises: Mapping[str, Exercise]) -> str:
    """Return the titles of exercises as the title of a block."""
    words = ", ".join(exercises[key].title for key in keys if key in exercises)
    return f"{words[:1].upper()}{words[1:]}"


def minutes_words(seconds: float) -> str:
    """Return a time as somebody would say it."""
    minutes = max(1, round(seconds / 60.0))
    return "about a minute" if minutes == 1 else f"about {minutes} minutes"


def summary(marks: Sequence[Mark], count: int) -> str:
    """Return how a block went."""
    right = sum(mark.grade.right for mark in marks)
    return f"{right} of {len(marks)} named right{'' if len(marks) == count else f', of a block of {count}'}"


def advice(marks: Sequence[Mark]) -> str:
    """Return what to listen for next time."""
    band_hz = listen_for(marks)
    if not marks:
        return ""
    if band_hz is None:
        return (
            "Nothing missed today. Next time the changes may well be smaller: keep the level, keep the pace."
        )
    return (
        f"Most of what you missed lay around {band_label(band_hz)}. At your next rehearsal, listen for it: "
        f"{sounds_like(band_hz, 'boost')} {sounds_like(band_hz, 'cut')}"
    )
