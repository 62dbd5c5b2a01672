"""Listening: what a rep is assumed to be listened on, as far as it decides what can be heard."""

from collections.abc import Iterable
from dataclasses import dataclass

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.refusal import Refused

FEWEST_LANES = 3
"""How many octave bands must be there to ask about one."""
STANDARD_LEVEL_DB_SPL = 65
"""The level of the programme at the ear where nobody has measured it (common practice, no source)."""
QUIETEST_DB_SPL, LOUDEST_DB_SPL = 20, 110
"""Between these a level of the programme is believed."""
LOWEST_THRESHOLD_DB_SPL, HIGHEST_THRESHOLD_DB_SPL = -20, 120


@dataclass(frozen=True, slots=True)
class Listening:
    """What is listened on; levels are taken to whole decibels, as a rep code can hold them.

    Attributes
    ----------
    level_db_spl
        The sound pressure level of programme at -23 LUFS at the ear.
    usable_hz
        The octave bands that can be played (nominal hertz), low to high; nothing is asked about the others.
    thresholds_db_spl
        The learner's own threshold in each of the ten octave bands; empty for the threshold of hearing.

    Raises
    ------
    Refused
        If a level cannot be, the usable bands are too few, or one of them is no octave band.
    """

    level_db_spl: float = STANDARD_LEVEL_DB_SPL
    usable_hz: tuple[float, ...] = OCTAVE_SCALE.names_hz
    thresholds_db_spl: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "level_db_spl", round(self.level_db_spl))
        object.__setattr__(self, "thresholds_db_spl", tuple(round(level) for level in self.thresholds_db_spl))
        object.__setattr__(self, "usable_hz", usable_bands(self.usable_hz))
        if not QUIETEST_DB_SPL <= self.level_db_spl <= LOUDEST_DB_SPL:
            raise Refused(
                f"a listening level of {self.level_db_spl:g} dB SPL is not believed: it lies between "
                f"{QUIETEST_DB_SPL} and {LOUDEST_DB_SPL}"
            )
        if len(self.thresholds_db_spl) not in (0, len(OCTAVE_SCALE)):
            raise Refused(
                f"thresholds are one for each octave band or none, not {len(self.thresholds_db_spl)}"
            )
        for level in self.thresholds_db_spl:
            if not LOWEST_THRESHOLD_DB_SPL <= level <= HIGHEST_THRESHOLD_DB_SPL:
                raise Refused(f"a threshold of {level:g} dB SPL is not believed")


def usable_bands(bands_hz: Iterable[float]) -> tuple[float, ...]:
    """Return octave bands (nominal hertz) from the lowest up; `Refused` if they are too few, or one is none."""
    wanted = OCTAVE_SCALE.in_order(bands_hz)
    if len(wanted) < FEWEST_LANES:
        raise Refused(f"{len(wanted)} usable octave bands are too few to ask about: it takes {FEWEST_LANES}")
    return wanted


STANDARD = Listening()
"""What quizzes and packs assume: programme at 65 dB SPL and all ten octave bands."""
