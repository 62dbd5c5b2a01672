"""Third octave: one third-octave band of the mix, a section or a stem is boosted or cut: name band and way."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice.band_scale import THIRD_SCALE
from trainer.practice.bells import bell, bell_back, target_and_bands
from trainer.practice.change import MIX, Change
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer

FEWEST_BANDS = 6
"""How many bands a target must offer: fewer say little of where among the thirds an ear is at home."""


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Take one of the bands heard both ways on a target: in the octave wished for if it offers some, evenly."""
    target, bands = target_and_bands(excerpt, focus, rng, scale=THIRD_SCALE, fewest=FEWEST_BANDS)
    wished = [hz for hz in bands if focus.scope == MIX and THIRD_SCALE.octave_hz(hz) == focus.band_hz]
    # An octave with fewer thirds on offer gets its wish as much more seldom: else those would be asked more often.
    among = wished if rng.random() * THIRD_SCALE.per_octave < len(wished) else bands
    band_hz = among[rng.integers(len(among))]
    question = Question(
        text=f"In the {title_of(target)}: which third-octave band is boosted or cut?",
        fields=(BandField(bands, title=THIRD_SCALE.title, scale=THIRD_SCALE), DirectionField()),
        target=target,
        size=focus.size,
        scope=focus.scope or "mix",
    )
    answer = {"band": band_hz, "direction": "boost" if focus.direction == 1 else "cut"}
    return Draw(question, answer, bands={THIRD_SCALE.octave_hz(band_hz): 1.0})


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Put a bell, a third of an octave wide, on the band's exact centre."""
    return bell(answer, question, scale=THIRD_SCALE)


def remedy(answer: Answer, question: Question) -> str:
    """Name the equalizer band that takes it back."""
    return bell_back(
        answer,
        question,
        equalizer="parametric or graphic equalizer",
        width="a third of an octave wide (Q about 4.3)",
    )


EXERCISE = Exercise(
    key="third-octave",
    title="third octave",
    purpose="Hear which slider of a third-octave equalizer a sound needs, and which way.",
    scopes=("mix", "section", "stem"),
    ladder=Ladder(quantity="boost or cut", unit="dB", easiest=15.0, hardest=3.0, step=0.5, start=10.0),
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("band", "direction"),
    from_answers=300,
)
