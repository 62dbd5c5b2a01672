"""The loop: what a player is asked, and the frames that come of it; pure numpy, no device, no clock.

One thread asks (``load``, ``play``, ``flip``, ...), another may render: everything asked for lies in one
frozen value that is replaced by a single store, so the renderer never sees half a wish.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from trainer.playback.player import Asked, Version
from trainer.playback.programme import VERSIONS, Programme
from trainer.playback.ramp import Ramp
from trainer.playback.trail import Mark, Trail
from trainer.playback.wish import Wish
from trainer.sound import RATE_HZ, Samples, Sound
from trainer.units import db_to_ratio, seconds_to_frames

FLIP_S = 0.015
"""Raised cosine of 15 ms: measured on an 80 Hz tone raised by 6 dB, it leaves -88 dB above 1.5 kHz."""
START_S = 0.060
FIRST_START_S = 1.0
"""The very first start comes up slowly, in case the level outside is set too high."""
STOP_S = 0.060
LEVEL_S = 0.250
DIP_SILENCE_S = 0.020
"""How long a dip stays silent between its two fades of ``FLIP_S``."""

CEILING_DB = -1.0
CEILING = np.float32(db_to_ratio(CEILING_DB))


class Loop:
    """The versions of one loop, rendered a buffer at a time.

    The methods are those of :class:`trainer.playback.player.Player`; a player for a device adds when
    ``render`` is called and where the frames go.
    """

    def __init__(self, *, rate_hz: int = RATE_HZ) -> None:
        self._rate_hz = rate_hz
        self._wish = Wish()
        # From here on the renderer's own.
        self._done = self._wish
        self._place = 0
        self._gate = Ramp(0.0)
        self._level = Ramp(self._wish.gain)
        self._weights = Ramp(*_weights(Version.PLAIN))
        self._version = Version.PLAIN
        self._trail = Trail()
        self._rest = 0
        self._rise_s = START_S
        self._has_started = False
        self._frames_sounded = 0
        self._frames_rendered = 0
        self._frames_clipped = 0

    # What is asked.

    def load(self, versions: Mapping[Version, Sound], *, dip: bool = False) -> None:
        """Make these versions the ones to play, from their start, still silent, plain first."""
        rates_hz = {sound.rate_hz for sound in versions.values()}
        if rates_hz - {self._rate_hz}:
            raise ValueError(f"this player runs at {self._rate_hz} Hz, not at {sorted(rates_hz)}")
        self._wish = self._wish.load(versions, dip=dip)

    def add(self, version: Version, sound: Sound) -> None:
        """Let one more version of what is loaded be flipped to; what sounds goes on undisturbed."""
        self._wish = self._wish.add(version, sound)

    def play(self) -> None:
        """Fade in, looping."""
        self._wish = self._wish.play()

    def stop(self) -> None:
        """Fade to silence, the place kept."""
        self._wish = self._wish.stop()

    def restart(self) -> None:
        """Go back to the start of the loop (a dip to silence hides the jump)."""
        self._wish = self._wish.restart()

    def flip(self, version: Version) -> None:
        """Let another version sound, at the same place."""
        self._wish = self._wish.flip(version)

    def set_level(self, level_db: float) -> None:
        """Ramp the listening level to so many dB below full (never above 0)."""
        self._wish = self._wish.set_level(level_db)

    # What came of it.

    @property
    def sounding(self) -> Version:
        """The version asked for last: the one that sounds, at most two buffers later."""
        return self._wish.version

    @property
    def heard(self) -> Version:
        """The version rendered last: a flip shows from where its crossfade begins."""
        return self._trail.at(self._frames_rendered).version

    @property
    def is_playing(self) -> bool:
        """Whether it was asked to play."""
        return self._wish.playing

    @property
    def asked(self) -> Asked:
        """What is loaded and how it is to sound."""
        return self._wish.asked

    @property
    def heard_position_s(self) -> float:
        """The place in the loop, as far as it is rendered: only a device knows what it holds back."""
        return self.position_s

    @property
    def position_s(self) -> float:
        """The place in the loop, as far as it is rendered."""
        return self._place / self._rate_hz

    @property
    def listened_s(self) -> float:
        """For how long it has sounded, all in all."""
        return self._frames_sounded / self._rate_hz

    @property
    def rendered_frames(self) -> int:
        """How many frames have been rendered, silent ones included."""
        return self._frames_rendered

    @property
    def clipped_frames(self) -> int:
        """In how many frames of what is loaded the ceiling had to cut the sound: none, if it is made well."""
        return self._frames_clipped

    @property
    def is_silent(self) -> bool:
        """Whether the fade to silence is over (or nothing has started)."""
        return self._gate.rests_at(0.0)

    # The renderer.

    def render(self, out: Samples) -> None:
        """Fill ``out``, shape (frames, 2), with what comes next; never above the ceiling of -1 dBFS."""
        wish, filled = self._wish, 0
        self._take_added(wish)
        while filled < len(out):
            if self.is_silent and self._rest == 0:
                self._take(wish)
            self._aim(wish)
            self._leave_mark(self._frames_rendered + filled, wish)
            filled += self._silence(out[filled:], wish) if self.is_silent else self._sound(out[filled:])
        self._guard(out)
        self._frames_rendered += len(out)

    def _take_added(self, wish: Wish) -> None:
        """Take over what was only added to: what sounds is in it."""
        if wish.loads == self._done.loads and wish.programme is not self._done.programme:
            self._done = replace(self._done, programme=wish.programme)

    def _take(self, wish: Wish) -> None:
        """While nothing sounds, everything may change at once."""
        if wish.loads != self._done.loads:
            self._place = self._frames_clipped = 0
        if wish.restarts != self._done.restarts:
            self._place = 0
        self._weights.jump(_weights(wish.version))
        self._version = wish.version
        if not wish.playing:
            self._level.jump((wish.gain,))
        self._done = wish

    def _aim(self, wish: Wish) -> None:
        """Send the ramps to where the wish wants them."""
        self._level.towards((wish.gain,), frames=self._frames(LEVEL_S))
        jumps = self._needs_silence(wish)
        if not jumps:
            self._weights.towards(_weights(wish.version), frames=self._frames(FLIP_S))
            self._version = wish.version
        if jumps or not wish.playing:
            self._fall(wish)
        else:
            self._rise()

    def _needs_silence(self, wish: Wish) -> bool:
        """Say whether the wish asks for a jump, which only silence hides."""
        done = self._done
        dips = wish.programme is not None and wish.programme.dip and wish.flips != done.flips
        return dips or wish.loads != done.loads or wish.restarts != done.restarts

    def _fall(self, wish: Wish) -> None:
        dips = wish.playing and wish.loads == self._done.loads
        self._rise_s = FLIP_S if dips else START_S
        self._gate.towards((0.0,), frames=self._frames(FLIP_S if dips else STOP_S))

    def _rise(self) -> None:
        self._has_started = self._has_started or self._gate.rests_at(1.0)
        self._gate.towards((1.0,), frames=self._frames(self._rise_s if self._has_started else FIRST_START_S))
        self._rest = self._frames(DIP_SILENCE_S)

    def _leave_mark(self, frame: int, wish: Wish) -> None:
        programme = self._done.programme
        moves = programme is not None and (wish.playing or not self.is_silent)
        loop_frames = programme.frames if programme is not None and moves else 0
        self._trail.leave(Mark(frame, self._place, loop_frames, self._version))

    def _silence(self, out: Samples, wish: Wish) -> int:
        """Fill with silence up to the end of the rest; in a dip the music goes on unheard, else it waits."""
        frames = min(len(out), self._rest or len(out))
        out[:frames] = 0.0
        self._rest = max(0, self._rest - frames)
        if wish.playing and self._done.programme is not None:
            self._place = (self._place + frames) % self._done.programme.frames
        return frames

    def _sound(self, out: Samples) -> int:
        """Fill with the music, up to the seam of the loop or the end of the gate's fade."""
        programme = self._done.programme
        assert programme is not None, "the gate opens only on a programme"
        frames = min(len(out), programme.frames - self._place, self._gate.left or len(out))
        self._blend(out[:frames], programme)
        out[:frames] *= self._gate.take(frames) * self._level.take(frames)
        self._place = (self._place + frames) % programme.frames
        self._frames_sounded += frames
        return frames

    def _blend(self, out: Samples, programme: Programme) -> None:
        place = slice(self._place, self._place + len(out))
        weights = self._weights.take(len(out))
        out[:] = 0.0
        for column, samples in enumerate(programme.samples):
            if samples is not None and weights[:, column].any():
                out += samples[place] * weights[:, column, None]

    def _guard(self, out: Samples) -> None:
        """Keep below the ceiling, whatever was loaded: the last resort, and counted."""
        if max(out.max(initial=0.0), -out.min(initial=0.0)) > CEILING:
            self._frames_clipped += int((np.abs(out) > CEILING).any(axis=1).sum())
            np.clip(out, -CEILING, CEILING, out=out)

    def _frames(self, duration_s: float) -> int:
        return seconds_to_frames(duration_s, self._rate_hz)


def _weights(version: Version) -> tuple[float, ...]:
    return tuple(float(key is version) for key in VERSIONS)
