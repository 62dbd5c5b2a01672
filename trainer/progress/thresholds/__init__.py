"""Thresholds: the smallest change a learner can name (T75), per octave band, from answers right and wrong.

One normal distribution a learner over the thresholds of ten octave bands and what moves them; see
`trainer.progress.thresholds.belief` for the state, `hearing` for how a learner answers. It stands on its own:
of libraries it loads numpy alone, and it asks nothing of sounds, exercises or the store. One learner, step by step::

    from trainer.progress.thresholds import after_answer, first_belief, next_day, question_on, t75_of

    belief = first_belief()
    octave = [0, 0, 0, 1, 0, 0, 0, 0, 0, 0]                     # 250 Hz
    question = question_on(octave, direction=+1)                # a boost
    belief = after_answer(belief, question=question, size_db=6.0, right=True)
    belief = next_day(belief)
    median_db, low_db, high_db = t75_of(belief)                 # ten of each, 90 % intervals

With a leading shape (``first_belief(learners=(300,))``) all of it runs for hundreds of simulated learners at
once.
"""

from trainer.progress.thresholds.belief import (
    Belief,
    after_answer,
    first_belief,
    next_day,
    question_on,
    spread_of,
    t75_of,
    with_kind,
    with_other_equipment,
    with_week_1,
)
from trainer.progress.thresholds.hearing import (
    EASE_75,
    LAPSE,
    NAMED,
    REFERENCE,
    SLOPE,
    chance_right,
    ease_of,
)
from trainer.progress.thresholds.smoothing import smoothed

__all__ = [
    "EASE_75",
    "LAPSE",
    "NAMED",
    "REFERENCE",
    "SLOPE",
    "Belief",
    "after_answer",
    "chance_right",
    "ease_of",
    "first_belief",
    "next_day",
    "question_on",
    "smoothed",
    "spread_of",
    "t75_of",
    "with_kind",
    "with_other_equipment",
    "with_week_1",
]
