"""Octave tone: one octave band of the mix, a section or a stem is boosted or cut: name band and way."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.bells import bell, bell_back, target_and_bands
from trainer.practice.change import MIX, Change
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Take the focus's band in the mix if it can be heard there; else any band that can be heard, evenly."""
    target, lanes = target_and_bands(excerpt, focus, rng, scale=OCTAVE_SCALE, fewest=audibility.FEWEST_LANES)
    band_hz = focus.band_hz if focus.band_hz in lanes else None
    if target != MIX or band_hz is None:
        band_hz = lanes[rng.integers(len(lanes))]
    direction = "boost" if focus.direction == 1 else "cut"
    question = Question(
        text=f"In the {title_of(target)}: which octave band is boosted or cut?",
        fields=(BandField(lanes), DirectionField()),
        target=target,
        size=focus.size,
        scope=focus.scope or "mix",
    )
    return Draw(question, {"band": band_hz, "direction": direction}, bands={band_hz: 1.0})


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Put a bell, one octave wide, on the band's exact centre."""
    return bell(answer, question, scale=OCTAVE_SCALE)


def remedy(answer: Answer, question: Question) -> str:
    """Name the equalizer band that takes it back."""
    return bell_back(
        answer, question, equalizer="parametric equalizer", width="one octave wide (Q about 1.4)"
    )


EXERCISE = Exercise(
    key="octave-tone",
    title="octave tone",
    purpose="Hear in which octave band a sound is too full or too thin, and reach for that band at once.",
    scopes=("mix", "section", "stem"),
    ladder=Ladder(quantity="boost or cut", unit="dB", easiest=15.0, hardest=1.5, step=0.5, start=9.0),
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("band", "direction"),
)
