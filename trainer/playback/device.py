"""The device player: a loop on the sound device, through SDL's audio callback (the door to pygame's sound).

Two rules keep it from hanging and from stuttering. A device that plays is never closed, paused or dropped
while Python's lock is held, because SDL then waits for a callback that waits for the lock:
``pygame.mixer.quit`` shuts the audio subsystem down without the lock, and the device is closed at once after
that. And ``prepare_process`` makes Python hand its lock over quickly.
"""

import atexit
import gc
import os
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from trainer.playback.audio_system import (
    UNHEARD_DRIVERS,
    AudioSystem,
    listed_devices,
    name_to_open,
    running_audio,
    start_audio,
)
from trainer.playback.ear import Ear
from trainer.playback.loop import Loop
from trainer.playback.player import NoDevice, Version
from trainer.playback.programme import CHANNELS
from trainer.playback.sdl import audio, pygame
from trainer.playback.watch import Watch
from trainer.sound import RATE_HZ

CHUNK_FRAMES = 2_048
"""No underrun in any run on a crowded machine; heard 56 ms after a flip."""
FAST_CHUNK_FRAMES = 1_024
"""Heard 26 ms after a flip; a few underruns on a crowded machine."""

SWITCH_INTERVAL_S = 0.0005
SELDOM = 1_000
"""A whole collection of garbage holds Python's lock for tens of milliseconds: seldom by itself, then, and when
a shell says that its sound rests (`tidy_up`)."""
CLOSING_S = 0.5
"""The longest that closing waits for the fade to silence."""
LOOK_EVERY_S = 2.0
"""How often the list of devices is looked through for the one that plays."""

_open_players: list["DevicePlayer"] = []
"""The player that holds the device, one at most; kept here, so that it is never dropped while it plays."""


def prepare_process() -> None:
    """Let Python's threads take turns quickly, and keep what is loaded out of later garbage collections.

    To be called once, after everything is imported and before anything plays.
    """
    sys.setswitchinterval(SWITCH_INTERVAL_S)
    tidy_up()
    gc.set_threshold(*gc.get_threshold()[:2], SELDOM)


def tidy_up() -> None:
    """Collect garbage while the sound rests, and keep what is loaded by now out of later collections.

    What is let go of later goes all the same: nothing large here hangs in a circle of references.
    """
    gc.collect()
    gc.freeze()


class DevicePlayer(Loop):
    """A loop on an open sound device; made by :func:`open_player`."""

    def __init__(self, device_name: str, *, chunk_frames: int, clock: Callable[[], float]) -> None:
        super().__init__()
        self._clock = clock
        self._watch = Watch(buffer_s=chunk_frames / RATE_HZ, opened_at_s=clock())
        self._ear = Ear(rate_hz=RATE_HZ)
        self._fault = self._lost = ""
        self._looked_at_s = clock()
        self._is_listed = device_name in (listed_devices() or ())
        self._is_open = True
        self._device = audio.AudioDevice(
            devicename=device_name,
            iscapture=False,
            frequency=RATE_HZ,
            audioformat=audio.AUDIO_F32,
            numchannels=CHANNELS,
            chunksize=chunk_frames,
            allowed_changes=0,
            callback=self._fill,
        )
        self.device_name = device_name
        self._device.pause(0)

    @property
    def heard(self) -> Version:
        """The version that reaches the ear now: what was rendered one buffer before (see ``ear``)."""
        return self._trail.at(self._frame_heard()).version

    @property
    def heard_position_s(self) -> float:
        """The place in the loop that reaches the ear now; it moves on between the calls of the device."""
        frame = self._frame_heard()
        return self._trail.at(frame).place_at(frame) / RATE_HZ

    @property
    def late(self) -> int:
        """How many times the device asked so late that a gap may have been heard."""
        return self._watch.late

    @property
    def where(self) -> str:
        """Nothing to say: at the device."""
        return ""

    @property
    def problem(self) -> str:
        """What is wrong with the sound in one sentence, or nothing."""
        if not self._is_open:
            return "The sound device is closed."
        self._look()
        if self._lost or self._fault:
            return self._lost or self._fault
        if self._has_stopped:
            return f"The sound device '{self.device_name}' has stopped asking for sound."
        if self.clipped_frames:
            return f"The sound was cut at the ceiling in {self.clipped_frames} frames: lower the level."
        return ""

    @property
    def is_lost(self) -> bool:
        """Whether the device was removed or has stopped asking for sound.

        Then ``close`` this player, which waits for nothing, and open another one: ``open_player`` starts
        SDL's audio anew and so finds what is there by then.
        """
        if self._is_open:
            self._look()
        return bool(self._lost) or self._has_stopped

    def notice(self, event: object) -> None:
        """Take note of a pygame event; the removal of this device becomes the ``problem``."""
        removal = (pygame.AUDIODEVICEREMOVED, self._device.deviceid, 0)
        if tuple(getattr(event, name, None) for name in ("type", "which", "iscapture")) == removal:
            self._lose()

    def close(self) -> None:
        """Fade out and free the device; a device that is lost or silent by a fault is freed at once."""
        if not self._is_open:
            return
        self._wish = self._wish.close()
        if not self.is_lost and not self._fault:
            self._wait_until_silence_is_heard()
        pygame.mixer.quit()
        self._device.close()
        self._is_open = False
        _open_players.remove(self)
        atexit.unregister(self.close)

    def _wait_until_silence_is_heard(self) -> None:
        """Wait until the fade is rendered, and two more buffers push it out of the device."""
        until_s = self._clock() + CLOSING_S
        silent_since = self.rendered_frames
        while self.rendered_frames - silent_since < 2 * self._device.chunksize and self._clock() < until_s:
            if not self.is_silent:
                silent_since = self.rendered_frames
            time.sleep(0.002)

    def _frame_heard(self) -> float:
        return min(self._ear.frame_at(self._clock()), self.rendered_frames)

    @property
    def _has_stopped(self) -> bool:
        return self._is_open and self._watch.has_stopped(at_s=self._clock())

    def _fill(self, _device: audio.AudioDevice, memory: memoryview) -> None:
        """Answer SDL's audio thread: nothing may leave here but sound."""
        out = np.frombuffer(memory, np.float32).reshape(-1, CHANNELS)
        try:
            now_s = self._clock()
            self._watch.called(at_s=now_s)
            self._ear.called(at_s=now_s, start=self.rendered_frames, frames=len(out))
            self.render(out)
        except Exception as fault:
            out[:] = 0.0
            self._fault = f"The sound stopped because of a fault in this program: {fault!r}."

    def _look(self) -> None:
        """See every now and then whether the device is still in the list: not every shell has events."""
        now_s = self._clock()
        if not self._is_listed or now_s - self._looked_at_s < LOOK_EVERY_S:
            return
        self._looked_at_s = now_s
        if self.device_name not in (listed_devices() or ()):
            self._lose()

    def _lose(self) -> None:
        self._lost = f"The sound device '{self.device_name}' was removed: nothing is heard any more."


def open_player(
    *,
    chunk_frames: int = CHUNK_FRAMES,
    device_name: str | None = None,
    environ: Mapping[str, str] = os.environ,
    clock: Callable[[], float] = time.perf_counter,
) -> DevicePlayer:
    """Open the sound device and return a player on it, silent.

    Parameters
    ----------
    chunk_frames
        Frames a buffer: ``CHUNK_FRAMES``, or ``FAST_CHUNK_FRAMES`` for quicker flips on a calm machine.
    device_name
        The device to open, as SDL names it; the default device where none is named.
    environ
        Where SDL's own variables are looked up: its ``disk`` driver plays to ``SDL_DISKAUDIOFILE``.
    clock
        Seconds that only go forward.

    Raises
    ------
    NoDevice
        If there is none, if the one named is not there or cannot be opened, or if the driver plays to nobody.
    """
    if _open_players:
        raise NoDevice("The sound device is already in use by this program.")
    try:
        system = start_audio(environ)
        name = name_to_open(device_name, system, environ)
        player = DevicePlayer(name, chunk_frames=chunk_frames, clock=clock)
    except (RuntimeError, OverflowError) as fault:
        pygame.mixer.quit()
        raise NoDevice(_sentence(device_name, str(fault))) from fault
    except NoDevice:
        pygame.mixer.quit()
        raise
    _open_players.append(player)
    atexit.register(player.close)
    return player


def device_names(*, environ: Mapping[str, str] = os.environ) -> tuple[str, ...]:
    """Name the sound devices there are, for one to be chosen: none where nobody would hear them.

    Without an open player SDL's audio runs just for this, and each device announces itself once more with an
    ``AUDIODEVICEADDED`` event, as it does whenever a player is opened.
    """
    system = _look_around(environ)
    return () if system.driver in UNHEARD_DRIVERS else system.devices


@dataclass(frozen=True, slots=True)
class DeviceReport:
    """What there is to play on, for a report on this machine; ``problem`` says why nothing was ``opened``."""

    pygame_version: str
    sdl_version: str
    system: AudioSystem
    opened: str
    problem: str


def device_report(*, environ: Mapping[str, str] = os.environ) -> DeviceReport:
    """Look for sound devices and, unless one is open already, try the default one; nothing is heard."""
    system = _look_around(environ)
    opened, problem = (_open_players[0].device_name, "") if _open_players else _try_to_open(environ)
    sdl_version = ".".join(str(part) for part in pygame.get_sdl_version())
    return DeviceReport(pygame.version.ver, sdl_version, system, opened, problem)


def _look_around(environ: Mapping[str, str]) -> AudioSystem:
    if _open_players:
        return running_audio(environ)
    try:
        return start_audio(environ)
    except RuntimeError:
        return AudioSystem(driver=environ.get("SDL_AUDIODRIVER", ""))
    finally:
        pygame.mixer.quit()


def _try_to_open(environ: Mapping[str, str]) -> tuple[str, str]:
    try:
        player = open_player(environ=environ)
    except NoDevice as fault:
        return "", str(fault)
    player.close()
    return player.device_name, ""


def _sentence(device_name: str | None, reason: str) -> str:
    device = f"sound device '{device_name}'" if device_name else "sound device"
    return f"The {device} cannot be opened: {reason.rstrip('.')}."
