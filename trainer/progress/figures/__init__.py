"""What the attempts say: figures with their intervals, and "too few yet" where there is no figure.

Every function takes attempts and returns values; none knows where the attempts are kept, or what time it
is. Intervals are at 90 % throughout, so that every interval in the program means the same. Giving up counts
as a wrong answer. Below its minimum a figure is a `TooFew`, never a number.
"""

from trainer.progress.figures.bands import BandFigure, band_figures, band_figures_of
from trainer.progress.figures.confusions import Confusions, band_confusions, confusions
from trainer.progress.figures.d_prime import d_prime_of, share_right
from trainer.progress.figures.direction_bias import DirectionBias, direction_bias
from trainer.progress.figures.intervals import Estimate, Interval, TooFew, jeffreys, wilson
from trainer.progress.figures.octave_error import OctaveErrors, octave_errors
from trainer.progress.figures.response_times import ResponseTimes, response_times
from trainer.progress.tallies import Tally, tallies_of

__all__ = [
    "BandFigure",
    "Confusions",
    "DirectionBias",
    "Estimate",
    "Interval",
    "OctaveErrors",
    "ResponseTimes",
    "Tally",
    "TooFew",
    "band_confusions",
    "band_figures",
    "band_figures_of",
    "confusions",
    "d_prime_of",
    "direction_bias",
    "jeffreys",
    "octave_errors",
    "response_times",
    "share_right",
    "tallies_of",
    "wilson",
]
