"""An excerpt: a loopable piece of a show as stems, its plain mix, and the mix with some stems changed."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import excitation, level, octave_bands
from trainer.ensemble.mixdown import bus, difference
from trainer.ensemble.parts import PART_BY_KEY, SECTIONS
from trainer.ensemble.rooms import Room
from trainer.ensemble.score import Score
from trainer.sound import Sound

Powers = NDArray[np.float64]

CONTRIBUTIONS_KEPT = 4
"""How many targets' contributions stay as sound (5 MB each); as powers all of them do."""
SPARSE = 4
"""Every how many frames a target is looked at before its contribution is worked out."""


@dataclass(frozen=True, eq=False)
class Excerpt:
    """A loopable 6-14 s piece of a show.

    Attributes
    ----------
    show, seed
        The key of the show it comes from, and what picked it.
    title
        The words for it.
    room
        The room it is mixed in.
    stems
        Part key to dry stereo sound at its level in the mix, all of one length, in the ensemble's order.
    score
        The notes, where there are notes: a recording has none.
    """

    show: str
    seed: int
    title: str
    room: Room
    stems: Mapping[str, Sound]
    score: Score | None = None
    _powers: dict[str, Powers] = field(default_factory=dict, init=False, repr=False)
    _heard_contributions: dict[str, excitation.Contribution] = field(
        default_factory=dict, init=False, repr=False
    )
    _contributions: dict[str, Sound] = field(default_factory=dict, init=False, repr=False)

    def __post_init__(self) -> None:
        lengths = {sound.frames for sound in self.stems.values()}
        if len(lengths) != 1:
            raise ValueError(f"the stems of an excerpt are of one length, not {sorted(lengths)} frames")
        unknown = [part for part in self.stems if part not in PART_BY_KEY]
        if unknown:
            raise ValueError(f"the ensemble has no part {unknown[0]!r}")

    @property
    def frames(self) -> int:
        """The length of the loop in frames."""
        return next(iter(self.stems.values())).frames

    @property
    def duration_s(self) -> float:
        """The length of the loop in seconds."""
        return next(iter(self.stems.values())).duration_s

    @property
    def tempo_bpm(self) -> float | None:
        """The tempo, where there is a score."""
        return self.score.tempo_bpm if self.score else None

    @property
    def bars(self) -> int | None:
        """How many bars go round, where there is a score."""
        return self.score.bars if self.score else None

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that have a stem, in the ensemble's order."""
        return tuple(self.stems)

    @property
    def sections(self) -> tuple[str, ...]:
        """The sections that have a stem, in the ensemble's order."""
        present = {PART_BY_KEY[part].section for part in self.stems}
        return tuple(section.key for section in SECTIONS if section.key in present)

    def parts_in(self, target: str) -> tuple[str, ...]:
        """Return the parts of a target: ``mix``, a section's key or a part's key.

        Raises
        ------
        ValueError
            If nothing of the target plays in this excerpt.
        """
        fitting = tuple(part for part in self.stems if target in ("mix", part, PART_BY_KEY[part].section))
        if not fitting:
            raise ValueError(f"there is no {target!r} in this excerpt, but: mix, {', '.join(self.parts)}")
        return fitting

    @cached_property
    def mix(self) -> Sound:
        """The plain mix, in the room."""
        return bus(self.stems, self.room)

    def mix_with(self, changed_stems: Mapping[str, Sound]) -> Sound:
        """Return the mix with some stems changed: the plain mix plus the bus of what changed in them."""
        if not changed_stems:
            return self.mix
        deltas = {part: difference(sound, self.stems[part]) for part, sound in changed_stems.items()}
        added = bus(deltas, self.room)
        return Sound(self.mix.samples + added.samples)

    def through_bus(self, target: str) -> Sound:
        """Return what a target contributes to the mix: its stems and what the room makes of them.

        The last few are kept, since the room is dear.
        """
        parts = self.parts_in(target)
        if parts == self.parts:
            return self.mix
        found = self._contributions.pop(target, None)
        if found is None:
            found = bus({part: self.stems[part] for part in parts}, self.room)
        self._contributions[target] = found
        for oldest in list(self._contributions)[:-CONTRIBUTIONS_KEPT]:
            self._contributions.pop(oldest, None)
        return found

    @cached_property
    def mix_spectra(self) -> excitation.Spectra:
        """The spectrum of each frame of the plain mix."""
        return excitation.spectra_of(self.mix)

    @cached_property
    def mix_powers(self) -> excitation.Powers:
        """The power of the plain mix by frame and sub-band of an ear."""
        return excitation.powers_of(self.mix_spectra)

    def heard_contribution(self, target: str) -> excitation.Contribution:
        """Return what a target adds to the mix, by frame and sub-band of an ear; cached."""
        if target not in self._heard_contributions:
            if self.parts_in(target) == self.parts:
                part = excitation.Contribution(self.mix_powers, self.mix_powers.astype(np.complex64))
            else:
                part = excitation.contribution_of(
                    excitation.spectra_of(self.through_bus(target)), self.mix_spectra
                )
            self._heard_contributions[target] = part
        return self._heard_contributions[target]

    def dry_powers(self, target: str) -> excitation.Powers:
        """Return the power of a target's dry stems by sub-band of an ear, in some of the frames.

        A small part of the cost of `heard_contribution`: enough to see which targets cannot stand out.
        """
        first, *others = (self.stems[part] for part in self.parts_in(target))
        dry = level.mix_of([first, *others]) if others else first
        return excitation.powers_of(excitation.spectra_of(dry, every=SPARSE))

    def band_powers_over_time(self, target: str) -> Powers:
        """Return the power in each octave band and window of what a target contributes; cached."""
        if target not in self._powers:
            sound = self.through_bus(target)
            self._powers[target] = octave_bands.band_powers_over_time(sound)
        return self._powers[target]

    def in_room(self, room: Room) -> "Excerpt":
        """Return the same music in another room; the stems are shared."""
        return self if room is self.room else replace(self, room=room)
