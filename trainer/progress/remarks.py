"""Remarks: what stands out in a learner's answers, in plain words, where enough was answered to say so."""

from collections.abc import Sequence

from trainer.practice.attempt import Attempt
from trainer.progress.ear_words import hole_words, own_words
from trainer.progress.figures import TooFew, direction_bias, octave_errors
from trainer.progress.figures.holes import Hole
from trainer.progress.figures.own_figures import OwnFigure


def remarks_on(
    recent: Sequence[Attempt], holes: Sequence[Hole] = (), own: Sequence[OwnFigure] = ()
) -> list[str]:
    """Return sentences about one learner's ear and recent answers; none where nothing stands out."""
    remarks = [*map(hole_words, holes), *map(own_words, own)]
    bias = direction_bias(recent)
    if not isinstance(bias, TooFew) and bias.leans_to is not None:
        remarks.append(f"In doubt you say {bias.leans_to} more often than it is true.")
    error = octave_errors(recent).overall
    if not isinstance(error, TooFew) and not error.interval.holds(0.0):
        way = "high" if error.value > 0.0 else "low"
        remarks.append(f"Your wrong answers lie too {way}, by {abs(error.value):.1f} octaves on average.")
    return remarks
