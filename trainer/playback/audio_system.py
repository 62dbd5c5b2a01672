"""The audio system: SDL's audio started and asked what there is to play on."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from trainer.playback.default_device import default_device_name, driver_name, sdl_library
from trainer.playback.player import NoDevice
from trainer.playback.sdl import audio, pygame, sdl2

UNHEARD_DRIVERS = ("dummy",)
"""Drivers that keep time like a device and play to nobody."""
DISK = "disk"
"""The driver that takes the name of a file for a device."""


@dataclass(frozen=True, slots=True)
class AudioSystem:
    """What SDL found: its driver, the devices' names, and the default one's where it is known."""

    driver: str = ""
    devices: tuple[str, ...] = ()
    default: str = ""


def start_audio(environ: Mapping[str, str]) -> AudioSystem:
    """Start SDL's audio exactly once: it counts its users, and one ``mixer.quit`` has to bring it down."""
    while listed_devices() is not None:
        pygame.mixer.quit()
    sdl2.init_subsystem(sdl2.INIT_AUDIO)
    return running_audio(environ)


def running_audio(environ: Mapping[str, str]) -> AudioSystem:
    """Return what there is while SDL's audio runs."""
    library = sdl_library(Path(pygame.__file__).parent)
    driver = driver_name(library) or environ.get("SDL_AUDIODRIVER", "")
    return AudioSystem(driver, listed_devices() or (), default_device_name(library))


def listed_devices() -> tuple[str, ...] | None:
    """Return the names of the output devices, or None where SDL's audio does not run."""
    try:
        return tuple(audio.get_audio_device_names(False))
    except RuntimeError:
        return None


def name_to_open(device_name: str | None, system: AudioSystem, environ: Mapping[str, str]) -> str:
    """Choose the device: the one named, else the default one, else the first in the list.

    Raises
    ------
    NoDevice
        If there is none, if the one named is not there, or if the driver plays to nobody.
    """
    if system.driver in UNHEARD_DRIVERS:
        raise NoDevice(f"SDL's audio driver is '{system.driver}', which plays to nobody.")
    if system.driver == DISK:
        return device_name or environ.get("SDL_DISKAUDIOFILE", "sdlaudio.raw")
    if device_name is not None:
        return _named(device_name, system)
    if not system.devices:
        raise NoDevice("There is no sound device on this machine, or none that this program may use.")
    return system.default if system.default in system.devices else system.devices[0]


def _named(device_name: str, system: AudioSystem) -> str:
    if device_name not in system.devices:
        there = ", ".join(f"'{name}'" for name in system.devices) or "none"
        raise NoDevice(
            f"The sound device '{device_name}' is not there; the sound devices there are: {there}."
        )
    return device_name
