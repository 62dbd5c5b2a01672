"""Listening: what a rep is assumed to be listened on: how loud, which octave bands, and by which ears."""

from collections.abc import Iterable
from dataclasses import dataclass

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.refusal import Refused

FEWEST_LANES = 3
"""How many octave bands must be on offer to be asked about."""
QUIETEST_DB_SPL, LOUDEST_DB_SPL = 20, 110
"""Between which levels a programme may be assumed to play."""


@dataclass(frozen=True, slots=True)
class Listening:
    """What a rep is assumed to be listened on.

    Attributes
    ----------
    level_db_spl
        The level of the programme at the ear: what a slow, unweighted meter reads over a plain mix. Kept in
        whole dB.
    usable_hz
        The octave bands that can be played, nominal hertz, low to high.
    thresholds_db_spl
        The learner's own thresholds of hearing in the ten octave bands, whole dB SPL; empty for those of
        ISO 226.

    Raises
    ------
    Refused
        If the level is none to listen at, the bands are too few or none, or the thresholds are not ten.
    """

    level_db_spl: float = 65.0
    usable_hz: tuple[float, ...] = NOMINAL_HZ
    thresholds_db_spl: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "level_db_spl", _level(self.level_db_spl))
        object.__setattr__(self, "usable_hz", usable_bands(self.usable_hz))
        object.__setattr__(self, "thresholds_db_spl", _thresholds(self.thresholds_db_spl))


def usable_bands(bands_hz: Iterable[float]) -> tuple[float, ...]:
    """Return octave bands from the lowest up; `Refused` if there are too few, or one is none."""
    wanted = frozenset(bands_hz)
    if unknown := sorted(wanted.difference(NOMINAL_HZ)):
        names = ", ".join(f"{name_hz:g}" for name_hz in NOMINAL_HZ)
        raise Refused(f"the octave bands are {names} Hz, not {unknown[0]:g}")
    if len(wanted) < FEWEST_LANES:
        raise Refused(f"{len(wanted)} usable octave bands are too few to ask about: it takes {FEWEST_LANES}")
    return tuple(name_hz for name_hz in NOMINAL_HZ if name_hz in wanted)


def _level(level_db_spl: float) -> float:
    if not QUIETEST_DB_SPL <= level_db_spl <= LOUDEST_DB_SPL:
        allowed = f"{QUIETEST_DB_SPL} to {LOUDEST_DB_SPL} dB SPL"
        raise Refused(f"a listening level is {allowed}, not {level_db_spl:g}")
    return float(round(level_db_spl))


def _thresholds(levels_db_spl: tuple[float, ...]) -> tuple[float, ...]:
    if len(levels_db_spl) not in (0, len(NOMINAL_HZ)):
        raise Refused(
            f"thresholds of hearing are {len(NOMINAL_HZ)}, one an octave band, not {len(levels_db_spl)}"
        )
    for level_db_spl in levels_db_spl:
        if not -LOUDEST_DB_SPL <= level_db_spl <= LOUDEST_DB_SPL:
            raise Refused(f"a threshold of hearing is at most {LOUDEST_DB_SPL} dB SPL, not {level_db_spl:g}")
    return tuple(float(round(level_db_spl)) for level_db_spl in levels_db_spl)


STANDARD = Listening()
"""What quizzes and packs assume: ten octave bands at 65 dB SPL, and the threshold of hearing of ISO 226."""
