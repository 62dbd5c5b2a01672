"""What SDL knows and pygame does not pass on: the driver in use, and the default device (SDL >= 2.24)."""

import ctypes
import sys
from pathlib import Path

MAPS = Path("/proc/self/maps")


def sdl_library(pygame_folder: Path) -> ctypes.CDLL | None:
    """Return the SDL2 library that pygame has loaded, or nothing where it cannot be found."""
    for path in (*_loaded_here(), *_shipped_in(pygame_folder)):
        try:
            library = ctypes.CDLL(path)
            library.SDL_GetCurrentAudioDriver.restype = ctypes.c_char_p
        except (OSError, AttributeError):
            continue
        return library
    return None


def driver_name(library: ctypes.CDLL | None) -> str:
    """Return the name of the audio driver that SDL has started, or nothing."""
    name = library.SDL_GetCurrentAudioDriver() if library else None
    return name.decode() if name else ""


def default_device_name(library: ctypes.CDLL | None) -> str:
    """Return the name of the default output device, or nothing where SDL does not know one."""
    if library is None or not hasattr(library, "SDL_GetDefaultAudioInfo"):
        return ""
    name = ctypes.c_char_p()
    spec = ctypes.create_string_buffer(256)  # room for an SDL_AudioSpec, which nobody reads
    if library.SDL_GetDefaultAudioInfo(ctypes.byref(name), spec, 0) != 0 or name.value is None:
        return ""
    found = name.value.decode()
    library.SDL_free(name)
    return found


def _loaded_here() -> list[str]:
    """Return the SDL2 libraries mapped into this process (Linux)."""
    if not sys.platform.startswith("linux") or not MAPS.exists():
        return []
    lines = MAPS.read_text(encoding="utf-8").splitlines()
    paths = (line.split(maxsplit=5)[-1] for line in lines if "libSDL2-2" in line)
    return list(dict.fromkeys(paths))


def _shipped_in(pygame_folder: Path) -> list[str]:
    """Return the SDL2 libraries in pygame's wheels for Windows and macOS."""
    shipped = (pygame_folder / "SDL2.dll", pygame_folder / ".dylibs" / "libSDL2-2.0.0.dylib")
    return [str(path) for path in shipped if path.exists()]
