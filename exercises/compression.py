"""Compression: one section or stem is compressed: name it, how hard, and whether fast or slow.

How hard is how far the gain-reduction meter swings. A mean reduction has no answer that could be heard: whatever
is turned down all the time, the make-up gives back. Below 3.5 dB most excerpts of a full ensemble have fewer than
two targets that are heard to be compressed.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from trainer.dsp.level import mix_of
from trainer.dsp.meter_swing import LevelSpan, most_swing_db
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.change import Change, Compression, Edit
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Scope, Unhearable
from trainer.practice.fields import AmountField, ChoiceField, WhichField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer

LADDER = Ladder(quantity="swing of the meter", unit="dB", easiest=8.0, hardest=3.5, step=0.5, start=5.0)
SWING = AmountField(
    (3.5, 5.0, 8.0), key="swing", title="meter swing", words=("light", "firm", "hard"), by_ratio=True
)
RATIO = 10.0
HEARD_SHARE = 0.1
"""In how many windows the hardest size must move the mix: a compressor works in moments, not all the time."""


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
    on_offer = offered(excerpt, focus.scope, focus.listening.usable_hz)
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


@lru_cache(maxsize=4)
def offered(excerpt: Excerpt, scope: Scope | None, usable_hz: tuple[float, ...]) -> tuple[str, ...]:
    """Return the sections (or stems) that the ladder can be run on, up and down, at both paces.

    They are heard at its hardest size and can swing by its easiest: so neither what is on offer nor how much of
    it tells the size, the pace or the target of a rep.
    """
    candidates = excerpt.sections if scope == "section" else tuple(excerpt.stems)
    return tuple(target for target in candidates if _bears_the_ladder(excerpt, target, usable_hz))


def _bears_the_ladder(excerpt: Excerpt, target: str, usable_hz: Sequence[float]) -> bool:
    together = mix_of([excerpt.stems[part] for part in excerpt.parts_in(target)])
    for pace in PACES.values():
        hardest = pace.compression(LADDER.hardest)
        levels_db = hardest.levels_on(together)
        if most_swing_db(LevelSpan.of(levels_db), ratio=RATIO) < LADDER.easiest:
            return False
        gains_db = hardest.gains_over_time(together, levels_db)
        if not _is_heard(excerpt, target, gains_db, usable_hz):
            return False
    return True


def _is_heard(
    excerpt: Excerpt, target: str, gains_db: NDArray[np.float64], usable_hz: Sequence[float]
) -> bool:
    """Return whether a gain in each window on the target moves some usable band of the mix enough."""
    mix, part = excerpt.band_powers_over_time("mix"), excerpt.band_powers_over_time(target)
    changed = audibility.with_gain(mix, part, gain_db=gains_db[:, None])
    return bool(audibility.heard_bands(mix, changed, share=HEARD_SHARE)[audibility.among(usable_hz)].any())


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
