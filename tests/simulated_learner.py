"""A learner whose ear is known: answers questions as the threshold model says, by bands, kind and what is on offer."""

import math
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.deal import Rep
from trainer.practice.evidence import BAND, WAYS
from trainer.practice.values import Value
from trainer.progress.thresholds.hearing import LAPSE, chance_right, ease_of

SLOPE = 3.2
CUT_HARDER = 0.18
KIND_HARDER = {"mix": 0.0, "section": 0.15, "stem": 0.3}
DAY_SD = 0.08


@dataclass
class SimulatedLearner:
    """Somebody with a threshold in each octave band who gets better from day to day.

    Attributes
    ----------
    first
        ln T75 on the first day, low band to high.
    gain, pace_days
        By how much all of it falls in the end, and how soon.
    """

    name: str
    first: NDArray[np.float64]
    gain: float
    pace_days: float
    rng: Generator
    began: date
    _wobble: dict[date, float] = field(default_factory=dict)

    def ln_t75(self, day: date) -> NDArray[np.float64]:
        """Return ln T75 on a day, octave tone in the mix; the slower wobble of days is not part of it."""
        share = 1.0 - math.exp(-(day - self.began).days / self.pace_days)
        return self.first - self.gain * share

    def answer(self, rep: Rep, day: date) -> dict[str, Value] | None:
        """Return what is said to a rep: the right answer by chance, else something else that is on offer."""
        naming = [
            one
            for one in rep.question.fields
            if one.key == BAND or not all(isinstance(option, float | int) for option in one.options)
        ]
        options = tuple(sorted((len(one.options) for one in naming), reverse=True))
        ease = math.log(rep.question.size) - self._threshold(rep, day) + ease_of(0.75, slope=SLOPE)
        said = dict(rep.answer)
        if self.rng.random() < chance_right(ease, options=options, slope=SLOPE, lapse=LAPSE):
            return said
        if self.rng.random() < 0.1:
            return None
        missed = naming[int(self.rng.integers(len(naming)))]
        others = [option for option in missed.options if option != rep.answer[missed.key]]
        said[missed.key] = others[int(self.rng.integers(len(others)))]
        return said

    def _threshold(self, rep: Rep, day: date) -> float:
        by_band = self.ln_t75(day)
        mean = sum(share * by_band[NOMINAL_HZ.index(band_hz)] for band_hz, share in rep.bands.items())
        way = WAYS.get(str(rep.answer.get("direction")), 0)
        scope = rep.spec.focus.scope or "mix"
        ladder = math.log(rep.exercise.ladder.start / 9.0)
        wobble = self._wobble.setdefault(day, DAY_SD * float(self.rng.standard_normal()))
        return float(mean) - 0.5 * way * CUT_HARDER + KIND_HARDER[scope] + ladder + wobble
