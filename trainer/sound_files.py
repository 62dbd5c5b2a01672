"""Sound files: the one door to the soundfile library; it reads any sound file and writes WAV."""

import io
import os
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path
from typing import Literal

import numpy as np
import soundfile

from trainer.refusal import Refused
from trainer.sound import Sound

Bits = Literal[16, 24, 32]

SUBTYPES: dict[int, str] = {16: "PCM_16", 24: "PCM_24", 32: "FLOAT"}


class SoundFileError(Refused):
    """A sound file that cannot be read or written; the message says which and why in one sentence."""


def read_sound(path: str | Path) -> Sound:
    """Return the sound in a file, at the file's own rate.

    Raises
    ------
    SoundFileError
        If the file is missing, is not audio, or holds no usable samples.
    """
    path = Path(path)
    if path.is_dir():
        raise SoundFileError(f"'{path}' is a folder, not a sound file")
    try:
        with path.open("rb") as file:
            samples, rate_hz = soundfile.read(file, dtype="float32", always_2d=True)
    except FileNotFoundError:
        raise SoundFileError(f"there is no file '{path}'") from None
    except OSError as fault:
        raise SoundFileError(f"cannot read '{path}': {fault.strerror or fault}") from fault
    except (soundfile.LibsndfileError, TypeError) as fault:  # TypeError: headerless audio, by its extension
        known = "WAV, AIFF, FLAC, Ogg and MP3 files are"
        raise SoundFileError(f"'{path}' is not audio that can be read here; {known}") from fault
    return _checked(samples, rate_hz, path)


def read_sound_bytes(content: bytes, *, name: str) -> Sound:
    """Return the sound in the bytes of a sound file, which is called ``name`` where it cannot be read."""
    try:
        samples, rate_hz = soundfile.read(io.BytesIO(content), dtype="float32", always_2d=True)
    except (soundfile.LibsndfileError, TypeError) as fault:
        raise SoundFileError(f"'{name}' is not audio that can be read here") from fault
    return _checked(samples, rate_hz, Path(name))


def write_sound(path: str | Path, sound: Sound, *, bits: Bits = 32) -> None:
    """Write a sound as a WAV file: 32-bit float as it is, or whole numbers of 16 or 24 bits for other programs.

    The file appears whole or not at all, and the same sound makes the same bytes.

    Raises
    ------
    SoundFileError
        If the folder is missing or cannot be written to, or if whole numbers cannot hold the sound's peak.
    """
    path = Path(path)
    _check_peak(sound, bits, path)
    _replace(path, wav_bytes(sound, bits=bits))


def write_sounds(path: str | Path, sounds: Iterable[Sound], *, bits: Bits = 24) -> float:
    """Write sounds of one rate and as many channels one after the other into a WAV file; return its length in s.

    They are taken one by one, so that hours need no more memory than the longest of them.

    Raises
    ------
    SoundFileError
        As `write_sound` does.
    ValueError
        If there are none.
    """
    path = Path(path)
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        frames, rate_hz = _stream(part, iter(sounds), bits, path)
        os.replace(part, path)
    except OSError as fault:
        raise SoundFileError(f"cannot write '{path}': {fault.strerror or fault}") from fault
    except soundfile.LibsndfileError as fault:
        raise SoundFileError(f"cannot write '{path}': {fault.error_string}") from fault
    finally:
        _remove(part)
    return frames / rate_hz


def _stream(part: Path, sounds: Iterator[Sound], bits: Bits, path: Path) -> tuple[int, int]:
    first = next(sounds, None)
    if first is None:
        raise ValueError(f"there is no sound to write into {path}")
    frames = 0
    shape = {"samplerate": first.rate_hz, "channels": first.channels}
    with soundfile.SoundFile(part, "w", subtype=SUBTYPES[bits], format="WAV", **shape) as file:
        for sound in chain([first], sounds):
            _check_peak(sound, bits, path)
            file.write(sound.samples)
            frames += sound.frames
    return frames, first.rate_hz


def _check_peak(sound: Sound, bits: Bits, path: Path) -> None:
    peak = float(np.abs(sound.samples).max(initial=0.0))
    if bits != 32 and peak > 1.0:
        raise SoundFileError(
            f"{bits} bits hold peaks up to 1, and '{path.name}' would reach {peak:.3g}: use 32"
        )


def _checked(samples: np.ndarray, rate_hz: int, path: Path) -> Sound:
    if not len(samples):
        raise SoundFileError(f"'{path}' holds no sound: its length is zero")
    if not np.isfinite(samples).all():
        raise SoundFileError(f"'{path}' holds samples that are not finite numbers")
    return Sound(samples, rate_hz)


def wav_bytes(sound: Sound, *, bits: Bits = 32) -> bytes:
    """Return a sound as the bytes of a WAV file: the same sound makes the same."""
    memory = io.BytesIO()
    soundfile.write(memory, sound.samples, sound.rate_hz, subtype=SUBTYPES[bits], format="WAV")
    return _without_date(bytearray(memory.getbuffer()))


def _without_date(wav: bytearray) -> bytes:
    """Blank the time of writing in libsndfile's PEAK chunk (id, size, version, time), ahead of the data."""
    peak = wav.find(b"PEAK", 0, max(0, wav.find(b"data")))
    if peak >= 0:
        wav[peak + 12 : peak + 16] = bytes(4)
    return bytes(wav)


def _replace(path: Path, content: bytes) -> None:
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        part.write_bytes(content)
        os.replace(part, path)
    except OSError as fault:
        raise SoundFileError(f"cannot write '{path}': {fault.strerror or fault}") from fault
    finally:
        _remove(part)


def _remove(part: Path) -> None:
    try:
        part.unlink(missing_ok=True)
    except OSError:
        return  # the folder is not one, or is read-only: then there is no part either
