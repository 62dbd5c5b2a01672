"""The next rep: one stem of twenty edited, matched and peak-checked, beside doing everything again."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.random import default_rng
from scipy import signal

from trainer.bench.measure import median_s
from trainer.bench.music import SEED, scores
from trainer.bench.row import Clock, Measured, Scale
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.mixdown import bus
from trainer.ensemble.rooms import STADIUM
from trainer.ensemble.shows import stems_of
from trainer.practice import fairness
from trainer.practice.catalogue import load
from trainer.practice.change import Bell, Change, Edit, changed_mix
from trainer.practice.deal import deal_on
from trainer.practice.exercise import Focus, Unhearable
from trainer.practice.rep_code import RepSpec
from trainer.sound import Sound
from trainer.units import db_to_ratio

DURATION_S = 12.5
"""An excerpt of about 13 s: the longest there are."""
BELL = Bell(centre_hz=1000.0, gain_db=9.0)


def ready() -> Excerpt:
    """Return an excerpt whose stems are made, and the room with them."""
    score = next(scores(shortest_s=DURATION_S))
    excerpt = Excerpt("bench", 0, score.title, STADIUM, stems_of(score, bank=NoteBank(), seed=SEED), score)
    _ = excerpt.mix  # so that the room's response is there, as it is from the second rep on
    return excerpt


def next_rep(scale: Scale, clock: Clock) -> Measured:
    """Measure from ready stems and their plain mix to a pair that is alike in all but the change."""
    excerpt = ready()
    parts = [excerpt.parts[place % len(excerpt.parts)] for place in range(scale.reps)]
    ours_s = median_s([partial(our_way, excerpt, part) for part in parts], clock=clock)
    note = f"{len(excerpt.stems)} stems of {excerpt.duration_s:.1f} s"
    try:
        from pyloudnorm import Meter  # type: ignore[import-untyped]
    except ImportError:
        return Measured(1e3 * ours_s, None, "pyloudnorm is not installed", note)
    meter = Meter(excerpt.mix.rate_hz)
    plain_works = [partial(plain_way, excerpt, part, meter.integrated_loudness) for part in parts[:3]]
    peer_s = median_s(plain_works, clock=clock)
    beside = "every stem processed and summed again, pyloudnorm, resample_poly"
    return Measured(1e3 * ours_s, 1e3 * peer_s, beside, note)


def dealt(scale: Scale, clock: Clock) -> Measured:
    """Measure a whole deal on ready stems: the draw, the audibility gate, the change, the matching."""
    excerpt, exercise = ready(), load()["octave-tone"]
    works = [partial(_dealt, replace(excerpt), seed) for seed in range(scale.reps)]
    note = "what is made ahead while the learner listens"
    return Measured(1e3 * median_s(works, clock=clock), None, f"{exercise.title} on a stem", note)


def _dealt(excerpt: Excerpt, seed: int) -> None:
    exercise = load()["octave-tone"]
    try:
        deal_on(excerpt, RepSpec(exercise.key, "bench", seed, Focus(size=12.0, scope="stem")), exercise)
    except Unhearable:
        return  # the gate's answer takes as long, and another excerpt is taken


def our_way(excerpt: Excerpt, part: str) -> tuple[Sound, Sound]:
    """Return plain and changed as a rep makes them."""
    changed = changed_mix(Change((Edit(part, BELL),)), excerpt)
    return fairness.matched(changed, fairness.reference_of(excerpt.mix), default_rng(0))


def plain_way(
    excerpt: Excerpt, part: str, loudness: Callable[[np.ndarray], float]
) -> tuple[np.ndarray, np.ndarray]:
    """Return plain and changed with nothing kept from before and other people's meters."""
    still = Bell(BELL.centre_hz, gain_db=0.0)
    changed_stems = {
        key: (BELL if key == part else still).apply({key: sound})[key] for key, sound in excerpt.stems.items()
    }
    mixes = [bus(stems, excerpt.room).samples for stems in (excerpt.stems, changed_stems)]
    levelled = [mix * db_to_ratio(fairness.PROGRAMME_LUFS - loudness(mix)) for mix in mixes]
    peak = max(float(np.abs(signal.resample_poly(mix, 4, 1, axis=0)).max()) for mix in levelled)
    room = min(1.0, db_to_ratio(fairness.CEILING_DBTP) / peak)
    plain, changed = (mix * room for mix in levelled)
    return plain, changed
