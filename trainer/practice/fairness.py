"""Fairness: plain and changed made alike in everything that is not the question.

Both get the same loudness (ITU-R BS.1770, of the loop as it lies in a file) and the same sample peak, so that
neither meter nor file betrays what was done: the highest few peaks of both are held, for milliseconds, to one
ceiling that is set by the plain mix. What matching leaves over is hidden under a tiny, independent trim.
"""

from dataclasses import dataclass
from functools import lru_cache

from numpy.random import Generator

from trainer.dsp.dynamics import limit_peaks
from trainer.dsp.level import gain, sample_peak, sample_peak_db
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.sound import Sound
from trainer.units import db_to_ratio

PROGRAMME_LUFS = -23.0
"""EBU R 128: the programme loudness."""
CEILING_DBTP = -1.0
"""EBU R 128: the highest true peak."""
PEAKS_HELD_DB = 2.0
"""How far below the plain mix's own highest peak the common ceiling lies."""
MOST_RISE_LU = 6.0
"""How much louder than the programme a changed version may be: beyond it both versions come down."""
TRIM_DB = 0.03
"""The largest trim; a level difference of a tenth of a dB is not heard."""


@dataclass(frozen=True, slots=True, eq=False)
class Reference:
    """The plain mix at programme loudness, and what every version of it must keep to.

    ``gain_db`` is what took the mix there; ``ceiling`` is the common sample peak, as a ratio; ``held`` is the
    plain mix under that ceiling.
    """

    plain: Sound
    gain_db: float
    ceiling: float
    held: Sound


@lru_cache(maxsize=2)
def reference_of(mix: Sound) -> Reference:
    """Return the reference a mix makes; kept for the reps that follow on the same mix."""
    gain_db = PROGRAMME_LUFS - integrated_loudness_lufs(mix)
    plain = gain(mix, gain_db=gain_db)
    ceiling = db_to_ratio(sample_peak_db(plain) - PEAKS_HELD_DB)
    return Reference(plain, gain_db, ceiling, _held(plain, ceiling))


def matched(changed: Sound, reference: Reference, rng: Generator) -> tuple[Sound, Sound]:
    """Return plain and changed at one loudness and one sample peak, under the ceiling."""
    changed, held = _at_loudness(changed), reference.held
    ceiling = min(reference.ceiling, sample_peak(changed))
    if ceiling < reference.ceiling:
        held = _held(reference.plain, ceiling)
    trims_db = rng.uniform(-TRIM_DB, TRIM_DB, 2)
    return _under_ceiling(
        gain(held, gain_db=float(trims_db[0])), gain(_held(changed, ceiling), gain_db=float(trims_db[1]))
    )


def side_by_side(changed: Sound, reference: Reference) -> tuple[Sound, Sound]:
    """Return plain and changed with the difference in loudness that is between them, under the ceiling.

    What would jump at the ear comes down, and the plain version with it.
    """
    plain, changed = reference.plain, gain(changed, gain_db=reference.gain_db)
    over_db = integrated_loudness_lufs(changed) - PROGRAMME_LUFS - MOST_RISE_LU
    if over_db > 0.0:
        plain, changed = (gain(version, gain_db=-over_db) for version in (plain, changed))
    return _under_ceiling(plain, changed)


def _held(version: Sound, ceiling: float) -> Sound:
    """Return a version at programme loudness with its peaks at the ceiling.

    Holding the peaks costs a few hundredths of a dB of loudness; giving them back lifts the peaks by as
    little, which the trims hide.
    """
    return _at_loudness(limit_peaks(version, ceiling=ceiling))


def _at_loudness(version: Sound) -> Sound:
    return gain(version, gain_db=PROGRAMME_LUFS - integrated_loudness_lufs(version))


def _under_ceiling(plain: Sound, changed: Sound) -> tuple[Sound, Sound]:
    """Return both, lowered alike if the true peak of either is over the ceiling."""
    peaks_dbtp = [true_peak_dbtp(each, loop=True, at_least_dbtp=CEILING_DBTP) for each in (plain, changed)]
    over_db = max(peaks_dbtp) - CEILING_DBTP
    if over_db <= 0.0:
        return plain, changed
    return gain(plain, gain_db=-over_db), gain(changed, gain_db=-over_db)
