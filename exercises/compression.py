"""Compression: one section or stem is compressed: name it, how hard, and whether fast or slow."""

from dataclasses import dataclass

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.change import Change, Compression, Edit
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Unhearable
from trainer.practice.fields import AmountField, ChoiceField, WhichField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer

HARDNESS = AmountField(
    (3.0, 6.0, 12.0), key="hardness", title="gain reduction", words=("light", "firm", "hard"), by_ratio=True
)


@dataclass(frozen=True, slots=True)
class Pace:
    """A compressor's times (common practice, no source)."""

    words: str
    attack_s: float
    release_s: float


PACES = {
    "fast": Pace("fast (attack 1 ms, release 60 ms)", attack_s=0.001, release_s=0.060),
    "slow": Pace("slow (attack 30 ms, release 500 ms)", attack_s=0.030, release_s=0.500),
}
SPEED = ChoiceField.of("speed", "speed", {key: pace.words for key, pace in PACES.items()})
RATIO = 8.0


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Compress one of the sections (or stems) that stand out enough for it to be heard, evenly."""
    candidates = excerpt.sections if focus.scope == "section" else tuple(excerpt.stems)
    offered = audibility.compressible(
        excerpt, candidates, reduction_db=focus.size, ratio=RATIO, usable_hz=focus.listening.usable_hz
    )
    if len(offered) < audibility.FEWEST_CHOICES:
        raise Unhearable(f"too few {focus.scope}s stand out enough")
    question = Question(
        text=f"Which {focus.scope} is compressed, how hard, and how fast?",
        fields=(WhichField(offered, title=str(focus.scope)), HARDNESS, SPEED),
        target="",
        size=focus.size,
        scope=focus.scope or "section",
    )
    which = offered[rng.integers(len(offered))]
    speed = tuple(PACES)[rng.integers(len(PACES))]
    return Draw(question, {"which": which, "hardness": HARDNESS.nearest(focus.size), "speed": speed})


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Compress the target as one group, by the rep's size on average while it sounds."""
    pace = PACES[str(answer["speed"])]
    compression = Compression(
        reduction_db=HARDNESS.size_meant(answer["hardness"], question.size),
        ratio=RATIO,
        attack_s=pace.attack_s,
        release_s=pace.release_s,
    )
    return Change((Edit(str(answer["which"]), compression),))


def remedy(answer: Answer, question: Question) -> str:
    """Name the compressor's controls that take it back."""
    reduction_db = HARDNESS.size_meant(answer["hardness"], question.size)
    slower = "; a longer attack lets the strokes through" if answer["speed"] == "fast" else ""
    return (
        f"{title_of(str(answer['which']))}: compressor threshold up until the meter no longer shows "
        f"{reduction_db:g} dB of reduction, and the make-up gain back with it{slower}"
    )


EXERCISE = Exercise(
    key="compression",
    title="compression",
    purpose="Hear a compressor at work: who has lost the life between soft and loud, how much, and how fast.",
    scopes=("section", "stem"),
    ladder=Ladder(quantity="mean gain reduction", unit="dB", easiest=15.0, hardest=3.0, step=0.5, start=9.0),
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("which", "speed"),
)
