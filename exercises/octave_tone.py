"""Octave tone: one octave band of the mix, a section or a stem is boosted or cut: name band and way."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.band_scale import OCTAVE_SCALE, band_label
from trainer.practice.change import MIX, Bell, Change, Edit
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Unhearable
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer, number_in


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Take the focus's band in the mix if it can be heard there; else any band that can be heard, evenly."""
    target, lanes = _target(excerpt, focus, rng)
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


def _target(excerpt: Excerpt, focus: Focus, rng: Generator) -> tuple[str, tuple[float, ...]]:
    """Return what is asked about, and the bands on offer there: those heard both ways."""
    targets = {"mix": (MIX,), "section": excerpt.sections, "stem": excerpt.parts}[focus.scope or MIX]
    for target in rng.permutation(targets):
        lanes = audibility.lanes(excerpt, str(target), size_db=focus.size, listening=focus.listening)
        if len(lanes) >= audibility.FEWEST_LANES:
            return str(target), lanes
    raise Unhearable(f"no {focus.scope} shows it in {audibility.FEWEST_LANES} octave bands")


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Put a bell, one octave wide, on the band's exact centre."""
    sign = 1.0 if answer["direction"] == "boost" else -1.0
    bell = Bell(
        centre_hz=OCTAVE_SCALE.band(number_in(answer, "band")).centre_hz, gain_db=sign * question.size
    )
    return Change((Edit(question.target, bell),))


def remedy(answer: Answer, question: Question) -> str:
    """Name the equaliser band that takes it back."""
    back = "cut" if answer["direction"] == "boost" else "boost"
    where = "mix bus" if question.target == MIX else f"{title_of(question.target)} channels"
    band = f"{band_label(number_in(answer, 'band'))}, one octave wide (Q about 1.4)"
    return f"{where}: parametric equalizer, {band}, {back} by {question.size:g} dB"


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
