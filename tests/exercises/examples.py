"""Exercises that are none of ours, as values: kinds of question that the contract must let pass, and their parts."""

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.band_scale import THIRD_SCALE, band_label
from trainer.practice.change import MIX, Bell, Change, Edit, Stems
from trainer.practice.evidence import Evidence
from trainer.practice.exercise import (
    THERE_OR_NOT,
    AnswerGiven,
    Draw,
    Exercise,
    Focus,
    Grade,
    Ladder,
    Question,
)
from trainer.practice.fields import AmountField, BandField, ChoiceField, DirectionField, WhichField
from trainer.practice.list_field import ListField
from trainer.practice.listening import Listening
from trainer.practice.naming import named_by
from trainer.practice.values import Answer, number_in, rows_in, text_in
from trainer.sound import Sound


@dataclass(frozen=True, slots=True)
class Late:
    """Stems that come late; as loops they begin with their own end."""

    by_ms: float

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return the stems, late."""
        return {key: _late(sound, by_ms=self.by_ms) for key, sound in stems.items()}

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Say that it is heard."""
        return heard_always(excerpt, target, listening)


def heard_always(excerpt: Excerpt, target: str, listening: Listening) -> bool:  # noqa: ARG001
    """Say that it is heard: what octave powers do not show brings a rule of its own."""
    return True


def _late(sound: Sound, *, by_ms: float) -> Sound:
    return Sound(np.roll(sound.samples, round(by_ms * sound.rate_hz / 1000.0), axis=0), sound.rate_hz)


@dataclass(frozen=True, slots=True)
class Inverted:
    """Stems with their polarity the other way round."""

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return the stems, inverted."""
        return {key: Sound(-sound.samples, sound.rate_hz) for key, sound in stems.items()}

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Say that it is heard."""
        return heard_always(excerpt, target, listening)


# Third octaves: a scale of thirty bands, in dB.

THIRDS = BandField(THIRD_SCALE.names_hz, "third", "third-octave band", THIRD_SCALE)


def draw_third(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Draw a third octave of what is heard at the hardest size."""
    playable = audibility.lanes(excerpt, MIX, size_db=3.0, listening=focus.listening, bands=THIRD_SCALE.bands)
    third_hz = playable[rng.integers(len(playable))]
    direction = "boost" if focus.direction == 1 else "cut"
    fields = (THIRDS.offering(playable), DirectionField())
    question = Question("Which third octave is boosted or cut?", fields, MIX, focus.size, "mix")
    bands = {THIRD_SCALE.octave_hz(third_hz): 1.0}
    return Draw(question, {"third": third_hz, "direction": direction}, bands)


def change_third(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    """Put a bell a third of an octave wide on the band."""
    gain_db = question.size if answer["direction"] == "boost" else -question.size
    third = THIRD_SCALE.band(number_in(answer, "third"))
    return Change((Edit(MIX, Bell(third.centre_hz, gain_db, width_octaves=1 / 3)),))


def remedy_third(answer: Answer, question: Question) -> str:
    """Name the equalizer."""
    return (
        f"mix bus: graphic equalizer, {band_label(number_in(answer, 'third'))} back by {question.size:g} dB"
    )


THIRD_OCTAVE = Exercise(
    key="third-octave-example",
    title="third octave",
    purpose="Hear a narrower band.",
    scopes=("mix",),
    ladder=Ladder("boost or cut", "dB", easiest=15.0, hardest=3.0, step=0.5, start=9.0),
    draw=draw_third,
    change=change_third,
    remedy=remedy_third,
    evidence=named_by("third", "direction"),
)

# A delay: in milliseconds, of no octave band.

LATENESS = AmountField((10.0, 20.0, 40.0), "late", "how late", unit="ms", by_ratio=True)


def draw_delay(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Delay a section."""
    which = excerpt.sections[rng.integers(len(excerpt.sections))]
    fields = (WhichField(excerpt.sections, title="section"), LATENESS)
    question = Question("Which section is late, and how much?", fields, "", focus.size, "section")
    return Draw(question, {"which": which, "late": LATENESS.nearest(focus.size)}, bands={})


def change_delay(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    """Make the section late."""
    return Change((Edit(text_in(answer, "which"), Late(LATENESS.size_meant(answer["late"], question.size))),))


def remedy_delay(answer: Answer, question: Question) -> str:
    """Name the delay."""
    return (
        f"every other section: channel delay up by {LATENESS.size_meant(answer['late'], question.size):g} ms"
    )


DELAY = Exercise(
    key="delay-example",
    title="delay",
    purpose="Hear who is late.",
    scopes=("section",),
    ladder=Ladder("lateness", "ms", easiest=60.0, hardest=10.0, step=5.0, start=30.0),
    draw=draw_delay,
    change=change_delay,
    remedy=remedy_delay,
    evidence=named_by("which"),
)

# A fault that is there or not.

NONE = "none"


def draw_inverted(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Invert a section, or none."""
    choices = {NONE: "none of them", **{key: title_of(key) for key in excerpt.sections}}
    which = tuple(choices)[rng.integers(len(choices))]
    field = ChoiceField.of("which", "section", choices)
    question = Question("Which section is the wrong way round?", (field,), "", focus.size, "section")
    return Draw(question, {"which": which}, bands={})


def change_inverted(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    """Invert what is said to be."""
    which = text_in(answer, "which")
    return Change(() if which == NONE else (Edit(which, Inverted()),))


def remedy_inverted(answer: Answer, question: Question) -> str:  # noqa: ARG001
    """Name the polarity switch."""
    which = text_in(answer, "which")
    return "nothing to do" if which == NONE else f"{title_of(which)}: polarity switch back"


def say_inverted(answer: AnswerGiven) -> tuple[Evidence, ...]:
    """Say whether it was named: a rate, without a size."""
    return (
        Evidence(
            kind=answer.kind,
            size=None,
            unit=answer.ladder.unit,
            bands={},
            named=answer.grade.right,
            among=(1.0 / answer.question.fields[0].chance,),
        ),
    )


POLARITY = Exercise(
    key="polarity-example",
    title="polarity",
    purpose="Hear who is the wrong way round.",
    scopes=("section",),
    ladder=THERE_OR_NOT,
    draw=draw_inverted,
    change=change_inverted,
    remedy=remedy_inverted,
    evidence=say_inverted,
)

# A list of changes on a plain version of its own, marked by the exercise.

TONES = ListField((BandField(), DirectionField()), most=2)
SETTING = Change((Edit(MIX, Bell(1000.0, 3.0)),))


def draw_list(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    """Draw two bands that are boosted or cut."""
    playable = focus.listening.usable_hz
    fields = (BandField(playable), DirectionField())
    bands = rng.choice(playable, size=2, replace=False)
    rows = tuple({"band": float(hz), "direction": str(rng.choice(("boost", "cut")))} for hz in bands)
    listed = ListField(fields, most=2)
    question = Question("Which bands are boosted or cut?", (listed,), MIX, focus.size, "mix")
    return Draw(question, {"changes": rows}, dict.fromkeys(map(float, bands), 0.5))


def change_list(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    """Put a bell on each of the bands, after the setting."""
    bells = [
        Edit(MIX, Bell(float(row["band"]), question.size if row["direction"] == "boost" else -question.size))
        for row in rows_in(answer, "changes")
    ]
    return Change((*SETTING.edits, *bells)) if question.size else SETTING


def grade_list(given: Answer, right: Answer, question: Question) -> Grade:
    """Mark the list, squared: half a list is worth a quarter."""
    mark = question.fields[0].mark(given["changes"], right["changes"])
    return Grade({"changes": mark}, mark**2, right=mark == 1.0)


def say_list(answer: AnswerGiven) -> tuple[Evidence, ...]:
    """Say of each change whether it was found, and of each false alarm that it was none."""
    if answer.question.size <= 0.0:
        return ()
    true = rows_in(answer.right, "changes")
    said = rows_in(answer.given, "changes") if answer.given else ()
    kind = answer.kind
    size, unit = answer.question.size, answer.ladder.unit
    found = [Evidence(kind, size, unit, {float(row["band"]): 1.0}, row in said, (20.0,)) for row in true]
    alarm = Evidence(f"{kind}/false-alarm", None, "", {}, named=False, among=(1.0,))
    return (*found, *(alarm for row in said if row not in true))


def remedy_list(answer: Answer, question: Question) -> str:  # noqa: ARG001
    """Name the equalizer."""
    return f"mix bus: parametric equalizer, {len(rows_in(answer, 'changes'))} bands back"


SHEET = Exercise(
    key="sheet-example",
    title="sheet",
    purpose="Hear all that is wrong.",
    scopes=("mix",),
    ladder=Ladder("boost or cut", "dB", easiest=12.0, hardest=3.0, step=1.0, start=6.0),
    draw=draw_list,
    change=change_list,
    remedy=remedy_list,
    evidence=say_list,
    grade=grade_list,
    setting=lambda question, excerpt: SETTING,  # noqa: ARG005
)

GOOD = (THIRD_OCTAVE, DELAY, POLARITY, SHEET)
