"""Band scales: the bands an answer is named in, octaves or thirds (IEC 61260-1:2014), and a near miss's mark."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from trainer.dsp.octave_bands import OCTAVES, THIRD_OCTAVES, Band
from trainer.refusal import Refused


@dataclass(frozen=True)
class BandScale:
    """The bands of one width, low to high.

    Attributes
    ----------
    key, title
        Its name in files and in words.
    bands
        The bands, each with its nominal name, exact centre and edges.
    per_octave
        How many bands go to an octave.
    marks
        The mark of a band so many steps off, from 0 steps on; further off is worth nothing.
    """

    key: str
    title: str
    bands: tuple[Band, ...]
    per_octave: int
    marks: tuple[float, ...]

    @cached_property
    def names_hz(self) -> tuple[float, ...]:
        """The bands' nominal frequencies, hertz, low to high."""
        return tuple(band.nominal_hz for band in self.bands)

    @cached_property
    def _place_of(self) -> dict[float, int]:
        return {name_hz: place for place, name_hz in enumerate(self.names_hz)}

    def __len__(self) -> int:
        return len(self.bands)

    def __contains__(self, nominal_hz: object) -> bool:
        return nominal_hz in self._place_of

    @property
    def width_octaves(self) -> float:
        """The width of a band, octaves."""
        return 1.0 / self.per_octave

    def place(self, nominal_hz: float) -> int:
        """Return a band's place on the scale, from 0.

        Raises
        ------
        ValueError
            If no band of the scale has that name.
        """
        if nominal_hz not in self._place_of:
            raise ValueError(f"{self.title}s are {self.words()}, not {nominal_hz:g} Hz")
        return self._place_of[nominal_hz]

    def band(self, nominal_hz: float) -> Band:
        """Return the band of a name; `ValueError` if the scale has none."""
        return self.bands[self.place(nominal_hz)]

    def octave_hz(self, nominal_hz: float) -> float:
        """Return the nominal hertz of the octave band that a band of the scale lies in."""
        return OCTAVE_SCALE.names_hz[self.place(nominal_hz) // self.per_octave]

    def within(self, octave_hz: float) -> tuple[float, ...]:
        """Return the names (hertz) of the bands that lie in an octave band."""
        first = OCTAVE_SCALE.place(octave_hz) * self.per_octave
        return self.names_hz[first : first + self.per_octave]

    def in_order(self, names_hz: Iterable[float]) -> tuple[float, ...]:
        """Return some of the scale's bands (nominal hertz) from low to high, each once.

        Raises
        ------
        Refused
            If one of them is no band of the scale.
        """
        wanted = frozenset(names_hz)
        if unknown := sorted(wanted.difference(self.names_hz)):
            raise Refused(f"the {self.title}s are {self.words()}, not {unknown[0]:g}")
        return tuple(name_hz for name_hz in self.names_hz if name_hz in wanted)

    def mark(self, given_hz: float, right_hz: float) -> float:
        """Return the mark of naming one band where another was right."""
        steps_off = abs(self.place(given_hz) - self.place(right_hz))
        return self.marks[steps_off] if steps_off < len(self.marks) else 0.0

    def words(self) -> str:
        """Return the bands' names in a row."""
        return f"{', '.join(f'{name_hz:g}' for name_hz in self.names_hz)} Hz"


OCTAVE_SCALE = BandScale("octave", "octave band", OCTAVES, 1, (1.0, 0.5, 0.2))
"""The ten octave bands; their marks were chosen by simulated quizzes for reliability at moderate sizes."""
THIRD_SCALE = BandScale(
    "third-octave", "third-octave band", THIRD_OCTAVES, 3, (1.0, 0.75, 0.6, 0.5, 0.4, 0.3, 0.2)
)
"""The thirty third-octave bands; their marks follow the octaves': 0.5 an octave off, 0.2 two."""
SCALES = {scale.key: scale for scale in (OCTAVE_SCALE, THIRD_SCALE)}


def band_label(nominal_hz: float) -> str:
    """Return a band's nominal frequency as the trade writes it: ``31.5 Hz``, ``500 Hz``, ``16 kHz``."""
    return f"{nominal_hz / 1000:g} kHz" if nominal_hz >= 1000 else f"{nominal_hz:g} Hz"
