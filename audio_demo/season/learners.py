"""The six call signs, and how each one's ear stands and changes over the season."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from trainer.practice.band_scale import OCTAVE_SCALE

T75_START_DB = 13.0
"""Octave tone: the size named right three times in four when the season begins."""
COMMON_SD, SHAPE_SD, OWN_SD = 0.10, 0.22, 0.08
"""How far (logarithm) the learners lie apart, how far their bands do smoothly, and each band by itself."""
SHAPE_REACH_BANDS = 1.5
"""Over how many bands what one ear is good at holds together."""


@dataclass(frozen=True, slots=True)
class Traits:
    """One learner, as the season's author knows them.

    Attributes
    ----------
    start
        What their first thresholds are multiplied by.
    gained
        By how much the logarithm of their thresholds falls in the end.
    pace_days
        After how many days 63 % of that has happened.
    holes
        Nominal hertz to what the threshold there is multiplied by, all season.
    says_up
        How often they say boost (or up) when they do not hear which it is.
    """

    name: str
    start: float = 1.0
    gained: float = 0.55
    pace_days: float = 28.0
    holes: dict[float, float] = field(default_factory=dict)
    says_up: float = 0.5


LEARNERS: tuple[Traits, ...] = (
    Traits("Heron"),
    Traits("Plover", holes={250.0: 3.0}),
    Traits("Avocet", start=1.15, says_up=0.97),
    Traits("Curlew", start=1.1, gained=0.05),
    Traits("Dunlin", start=1.25, gained=0.95, pace_days=22.0),
    Traits("Sanderling", start=0.85, gained=0.40, pace_days=35.0),
)


@dataclass(frozen=True, slots=True, eq=False)
class Ear:
    """A learner's thresholds: ``first`` holds ln T75 of each octave band on the first day (octave tone)."""

    traits: Traits
    first: NDArray[np.float64]

    @classmethod
    def of(cls, traits: Traits, rng: Generator) -> "Ear":
        """Return the ear chance gives somebody of these traits."""
        places = np.arange(len(OCTAVE_SCALE.names_hz))
        together = np.exp(-0.5 * np.square((places[:, None] - places) / SHAPE_REACH_BANDS))
        shape = rng.multivariate_normal(np.zeros(len(places)), together, method="eigh")
        own = rng.standard_normal(len(places))
        holes = np.array([math.log(traits.holes.get(band_hz, 1.0)) for band_hz in OCTAVE_SCALE.names_hz])
        level = math.log(T75_START_DB * traits.start) + COMMON_SD * rng.standard_normal()
        return cls(traits, level + SHAPE_SD * shape + OWN_SD * own + holes)

    def t75_db(self, band_hz: float, *, day: float) -> float:
        """Return the threshold of a band so many days into the season: an exponential approach."""
        gained = self.traits.gained * (1.0 - math.exp(-day / self.traits.pace_days))
        return float(np.exp(self.first[OCTAVE_SCALE.names_hz.index(band_hz)] - gained))
