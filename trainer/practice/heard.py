"""How a change of the mix excites an ear: how far, in how much of the excerpt, and in which of its channels.

Changes are predicted from what a target adds to the mix, which the excerpt keeps, by power and cross-spectrum:
nothing is rendered. All is taken at the listening level, with the threshold of hearing as a floor under every
channel, and before plain and changed are matched in loudness, which moves every channel alike.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from trainer.dsp import excitation, hearing
from trainer.dsp.octave_bands import OCTAVES
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.listening import Listening
from trainer.sound import Sound

MOVED_DB = 1.0
"""How far the excitation must move to be heard: near the level difference just noticed in a band of noise (0.4 to
1 dB; G. A. Miller 1947; Jesteadt, Wier and Green 1977)."""
ACTIVE_RANGE_DB = 30.0
"""How far below the mix's loudest frame a frame may lie and still be one to listen in."""
CARRIED_RANGE_DB = 15.0
"""How far below the 95th percentile of its own level a channel, or a band of them, may lie and still sound."""
CARRIED_PERCENTILE = 95.0
SHARE = 0.2
"""In how much of the frames a change must be heard to be there at all."""

SILENCE = 1e-12
"""The mean square of a mix that is taken for silence: none is listened to softer."""

Levels = NDArray[np.float32]
"""Excitations as powers, the floor in them: shape ``(…, frames, channels)``."""
Where = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class MixListener:
    """Somebody who listens to an excerpt's plain mix.

    Attributes
    ----------
    excerpt, listening
        What is heard, and on what.
    """

    excerpt: Excerpt
    listening: Listening

    @cached_property
    def active(self) -> Where:
        """The frames to listen in."""
        level = self.excerpt.mix_powers.sum(axis=1)
        return np.asarray(level >= level.max() * 10.0 ** (-ACTIVE_RANGE_DB / 10.0))

    @cached_property
    def usable(self) -> Where:
        """The channels whose centre lies in an octave band that can be played."""
        return np.isin(_octaves_of(), self.listening.usable_hz)

    @cached_property
    def filters(self) -> excitation.Powers:
        """What of each sub-band each channel gets: nothing of the octave bands that cannot be played."""
        played = np.isin(_octave_names(excitation.sub_bands_hz()), self.listening.usable_hz)
        return np.asarray(excitation.filters() * played[:, None].astype(np.float32))

    @cached_property
    def floor(self) -> NDArray[np.float32]:
        """The threshold of hearing in each channel, in the powers of the mix."""
        spread = _floor_db_spl(self.listening.thresholds_db_spl) - self.listening.level_db_spl
        mix = max(float(np.mean(self.excerpt.mix_powers.sum(axis=1))), SILENCE)
        return np.asarray(mix * 10.0 ** (spread / 10.0), dtype=np.float32)

    @cached_property
    def plain(self) -> Levels:
        """The excitation by the plain mix in the active frames."""
        return self.floor + self.excerpt.mix_powers[self.active] @ self.filters

    def changed(self, added: excitation.Powers) -> Levels:
        """Return the excitation when so much power is added, by active frame and sub-band; it may be negative."""
        return self.plain + np.asarray(added @ self.filters)

    def with_gain(self, target: str, *, gain_db: float | NDArray[np.float64]) -> Levels:
        """Return the excitation with a target's contribution up by a gain, one number or one for each frame."""
        part = self.excerpt.heard_contribution(target)
        ratio = 10.0 ** (np.broadcast_to(gain_db, len(self.active)) / 20.0)
        moved = np.asarray(ratio[self.active, None] - 1.0, dtype=np.float32)
        return self.changed(2.0 * moved * part.cross.real[self.active] + moved**2 * part.power[self.active])

    def with_added(self, added: Sound) -> Levels:
        """Return the excitation with a sound added to the mix."""
        part = excitation.contribution_of(excitation.spectra_of(added), self.excerpt.mix_spectra)
        return self.changed(2.0 * part.cross.real[self.active] + part.power[self.active])

    def shift(self, changed: Levels) -> "Shift":
        """Return how far an excitation lies from the plain one."""
        return Shift(self.plain, np.maximum(changed, self.floor))


@dataclass(frozen=True, eq=False)
class Shift:
    """How far excitations lie from the plain one, of shape ``(…, frames, channels)`` (plain has no ``…``).

    ``own`` is always the channels of a band, one at least; ``sign`` the way they should move (+1, -1), or 0
    where either way is heard.
    """

    plain: Levels
    changed: Levels

    @cached_property
    def moved_db(self) -> Levels:
        """By how many dB each channel moves in each frame."""
        return np.asarray(10.0 * np.log10(self.changed / self.plain))

    def of(self, place: int) -> "Shift":
        """Return one of several shifts, by its place along the first axis, which stays."""
        return Shift(self.plain, self.changed[place : place + 1])

    def share(self, own: Where, *, sign: float) -> NDArray[np.float64]:
        """Return in how much of the frames in which a band sounds its best channel moves enough to be heard."""
        sounds = self._sounds(own)
        heard = self._best_db(own, sign=sign) >= MOVED_DB
        return np.asarray(np.sum(heard & sounds, axis=-1) / np.sum(sounds, axis=-1))

    def long_term_db(self, own: Where, *, sign: float) -> NDArray[np.float64]:
        """Return by how many dB the mean of a band's best channel moves."""
        means = self.changed[..., own].mean(axis=-2) / self.plain[..., own].mean(axis=-2)
        return np.asarray(_signed(10.0 * np.log10(means), sign).max(axis=-1))

    def rms_db(self, own: Where) -> NDArray[np.float64]:
        """Return the root mean square movement of a band's best channel over the frames in which it sounds."""
        sounds = self._sounds(own)
        squares = np.square(self._best_db(own, sign=0.0)) * sounds
        return np.asarray(np.sqrt(squares.sum(axis=-1) / sounds.sum(axis=-1)))

    def share_of_any(self, own: Where, *, sign: float) -> NDArray[np.float64]:
        """Return in how much of the frames some channel that sounds moves enough to be heard."""
        loud = np.percentile(self.plain[:, own], CARRIED_PERCENTILE, axis=0)
        sounds = np.maximum(self.changed[..., own], self.plain[:, own]) >= _range_below(loud)
        heard = _signed(self.moved_db[..., own], sign) >= MOVED_DB
        return np.asarray(np.mean(np.any(heard & sounds, axis=-1), axis=-1))

    def _best_db(self, own: Where, *, sign: float) -> NDArray[np.float32]:
        return np.asarray(_signed(self.moved_db[..., own], sign).max(axis=-1))

    def _sounds(self, own: Where) -> Where:
        """Return in which frames a band, plain or changed, is as loud as it goes."""
        plain, changed = self.plain[..., own].sum(axis=-1), self.changed[..., own].sum(axis=-1)
        loud = np.percentile(plain, CARRIED_PERCENTILE)
        return np.asarray(np.maximum(plain, changed) >= _range_below(loud))


def _signed(moved_db: NDArray[np.floating], sign: float) -> NDArray[np.floating]:
    return moved_db * np.float32(sign) if sign else np.abs(moved_db)


def _range_below(loud: NDArray[np.floating] | np.floating) -> NDArray[np.float32]:
    return np.asarray(loud * 10.0 ** (-CARRIED_RANGE_DB / 10.0), dtype=np.float32)


def is_heard_at_all(
    listener: MixListener, changed: Levels, *, sign: float = 0.0, share: float = SHARE
) -> bool:
    """Return whether a change is heard: in a share of the frames some usable channel moves by at least 1 dB."""
    return bool(listener.shift(changed).share_of_any(listener.usable, sign=sign) >= share)


def is_heard_added(excerpt: Excerpt, added: Sound, listening: Listening) -> bool:
    """Return whether what a change adds to the mix (with its sign) is heard: the default rule, from sound."""
    listener = MixListener(excerpt, listening)
    return is_heard_at_all(listener, listener.with_added(added))


def _octave_names(frequencies_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the nominal octave band each frequency lies in, the outermost for those beyond."""
    edges_hz = [band.low_hz for band in OCTAVES[1:]]
    return np.array(OCTAVE_SCALE.names_hz)[np.searchsorted(edges_hz, frequencies_hz, side="right")]


@lru_cache(maxsize=1)
def _octaves_of() -> NDArray[np.float64]:
    return _octave_names(excitation.channels_hz())


@lru_cache(maxsize=8)
def _floor_db_spl(own_db_spl: tuple[float, ...]) -> NDArray[np.float64]:
    """Return the threshold of hearing in each channel; a learner's own raise it in all of their octave band."""
    normal = hearing.threshold_db_spl(excitation.channels_hz())
    if not own_db_spl:
        return normal
    raised = np.maximum(np.array(own_db_spl) - hearing.threshold_db_spl(OCTAVE_SCALE.names_hz), 0.0)
    return normal + raised[np.searchsorted(OCTAVE_SCALE.names_hz, _octaves_of())]
