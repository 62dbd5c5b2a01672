"""An ear in the drill: what it costs to take in an answer, to choose what is asked next, to replay a long log."""

import tempfile
from datetime import timedelta
from functools import partial
from pathlib import Path

import numpy as np
from numpy.random import default_rng

from trainer.bench.measure import median_s, seconds_of
from trainer.bench.memories import LEARNER, START, attempts
from trainer.bench.row import Clock, Measured, Scale
from trainer.practice.catalogue import load
from trainer.progress.replay import ear_of
from trainer.progress.schedule import next_focus
from trainer.progress.store import open_store
from trainer.progress.thresholds import NAMED, after_answer, first_belief, question_on
from trainer.progress.thresholds.ear import new_ear

KINDS = 8


def update(scale: Scale, clock: Clock) -> Measured:
    """Measure an answer taken in: the median of some, one learner's state at a time."""
    belief = first_belief(kinds=KINDS)
    question = question_on(np.eye(10)[3], direction=1, size=len(belief.mean))
    take = partial(after_answer, belief, question=question, size_db=6.0, right=True)
    take()
    return Measured(
        1e3 * median_s([take] * scale.adds, clock=clock), note=f"a state of {len(belief.mean)} numbers"
    )


def focus(scale: Scale, clock: Clock) -> Measured:
    """Measure what it takes to choose what is asked next."""
    exercise, ear, rng = load()["octave-tone"], new_ear(), default_rng(0)
    choose = partial(next_focus, ear, exercise, aim=NAMED, rng=rng)
    choose()
    return Measured(1e3 * median_s([choose] * scale.adds, clock=clock))


def replay(scale: Scale, clock: Clock) -> Measured:
    """Measure a learner's log replayed from nothing, and then from what is kept of the days gone by."""
    with tempfile.TemporaryDirectory() as folder, open_store(Path(folder) / "store", now=START) as store:
        store.log.add_all(attempts(scale.replayed))
        today = (START + timedelta(seconds=30 * scale.replayed)).date() + timedelta(days=1)
        look = partial(ear_of, store, LEARNER, today=today)
        first_s, again_s = (seconds_of(look, clock=clock) for _ in range(2))
    each_ms = 1e3 * first_s / scale.replayed
    note = f"{scale.replayed} answers, {each_ms:.2f} ms each; {1e3 * again_s:.0f} ms once its days are kept"
    return Measured(first_s, note=note)
