"""Compression: one section or stem is compressed: name it, how hard, and whether fast or slow.

How hard is how far the gain-reduction meter swings. A mean reduction has no answer that could be heard: whatever
is turned down all the time, the make-up gives back. Below 3.5 dB most excerpts of a full ensemble have fewer than
two targets that are heard to be compressed.
"""

from dataclasses import dataclass

from numpy.random import Generator

from trainer.dsp.level import mix_of
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.change import Change, Compression, Edit
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Scope, Unhearable
from trainer.practice.fields import AmountField, ChoiceField, WhichField
from trainer.practice.listening import Listening
from trainer.practice.naming import named_by
from trainer.practice.per_excerpt import kept_per_excerpt
from trainer.practice.values import Answer

LADDER = Ladder(quantity="swing of the meter", unit="dB", easiest=8.0, hardest=3.5, step=0.5, start=5.0)
SWING = AmountField(
    (3.5, 5.0, 8.0), key="swing", title="meter swing", words=("light", "firm", "hard"), by_ratio=True
)
RATIO = 10.0


@dataclass(frozen=True, slots=True)
class Pace:
    """A compressor's times (common practice, no source)."""

    words: str
    attack_s: float
    release_s: float

    def compression(self, swing_db: float) -> Compression:
        """Return the compressor at this pace whose meter swings by so much."""
        return Compression(swing_db, ratio=RATIO, attack_s=self.attack_s, release_s=self.release_s)


PACES = {
    "fast": Pace("fast (attack 1 ms, release 60 ms)", attack_s=0.001, release_s=0.060),
    "slow": Pace("slow (attack 30 ms, release 500 ms)", attack_s=0.030, release_s=0.500),
}
SPEED = ChoiceField.of("speed", "speed", {key: pace.words for key, pace in PACES.items()})


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Compress one of the sections (or stems) on offer, evenly; what is on offer hangs on the excerpt alone."""
    on_offer = offered(excerpt, focus.scope, focus.listening)
    if len(on_offer) < audibility.FEWEST_CHOICES:
        raise Unhearable(f"too few {focus.scope}s stand out enough")
    question = Question(
        text=f"Which {focus.scope} is compressed, how hard, and how fast?",
        fields=(WhichField(on_offer, title=str(focus.scope)), SWING, SPEED),
        target="",
        size=focus.size,
        scope=focus.scope or "section",
    )
    which = on_offer[rng.integers(len(on_offer))]
    speed = tuple(PACES)[rng.integers(len(PACES))]
    return Draw(question, {"which": which, "swing": SWING.nearest(focus.size), "speed": speed})


@kept_per_excerpt
def offered(excerpt: Excerpt, scope: Scope | None, listening: Listening) -> tuple[str, ...]:
    """Return the sections (or stems) that the ladder can be run on, up and down, at both paces.

    They are heard at its hardest size and can swing by its easiest: so neither what is on offer nor how much of
    it tells the size, the pace or the target of a rep.
    """
    candidates = excerpt.sections if scope == "section" else tuple(excerpt.stems)
    return tuple(target for target in candidates if _bears_the_ladder(excerpt, target, listening))


def _bears_the_ladder(excerpt: Excerpt, target: str, listening: Listening) -> bool:
    together = mix_of([excerpt.stems[part] for part in excerpt.parts_in(target)])
    for pace in PACES.values():
        hardest = pace.compression(LADDER.hardest)
        levels_db = hardest.levels_on(together)
        if hardest.most_swing_db(levels_db) < LADDER.easiest:
            return False
        if not hardest.is_heard_at(levels_db, together, excerpt, target, listening):
            return False
    return True


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Compress the target as one group, the meter swinging by the rep's size."""
    swing_db = SWING.size_meant(answer["swing"], question.size)
    compression = PACES[str(answer["speed"])].compression(swing_db)
    return Change((Edit(str(answer["which"]), compression),))


def remedy(answer: Answer, question: Question) -> str:  # noqa: ARG001 - the interface's shape
    """Name the compressor's controls that take it back."""
    slower = " A longer attack lets the strokes through." if answer["speed"] == "fast" else ""
    return (
        f"{title_of(str(answer['which']))}, compressor: raise the threshold until the meter barely moves, then "
        f"take out the make-up gain.{slower}"
    )


EXERCISE = Exercise(
    key="compression",
    title="compression",
    purpose="Hear a compressor at work: who has lost the life between soft and loud, how much, and how fast.",
    scopes=("section", "stem"),
    ladder=LADDER,
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("which", "speed"),
    family="swing",
)
