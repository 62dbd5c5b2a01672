"""The tour as files: numbered WAV files in step, and their captions in one text."""

import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path

from audio_demo.tour import Stop
from trainer.refusal import Refused
from trainer.sound import Sound
from trainer.sound_files import SoundFileError, write_sound

CAPTIONS = "captions.txt"
WIDTH = 100
INTRODUCTION = (
    "Every file loops. The stems, the sections and the mix in the gym are in step, under one gain: played\n"
    "together, the stems are that mix. Mixes have a loudness of -23 LUFS; no true peak is over -1 dBTP."
)


def write_tour(title: str, stops: Iterable[Stop], folder: Path) -> int:
    """Write the stops and their captions into a folder; return how many sounds there are.

    Raises
    ------
    Refused
        If something cannot be written; the message says what and why.
    """
    lines, count = [title, "", INTRODUCTION], 0
    hall = ""
    for stop in stops:
        if stop.hall != hall:
            hall = stop.hall
            lines += ["", "", hall.upper()]
        names = [_written(folder / name, sound) for name, sound in files_of(stop)]
        count += len(names)
        lines += ["", f"{' and '.join(names)}: {stop.title}", *map(_indented, stop.caption)]
    (folder / CAPTIONS).write_text("\n".join(lines) + "\n", encoding="utf-8")
    return count


def files_of(stop: Stop) -> Iterator[tuple[str, Sound]]:
    """Yield the names and sounds of a stop's files."""
    stem = f"{stop.number:02d}-{stop.name}"
    if stop.changed is None:
        yield f"{stem}.wav", stop.plain
    else:
        yield f"{stem}-plain.wav", stop.plain
        yield f"{stem}-changed.wav", stop.changed


def _indented(line: str) -> str:
    return textwrap.fill(line, WIDTH, initial_indent="  ", subsequent_indent="    ")


def _written(path: Path, sound: Sound) -> str:
    try:
        write_sound(path, sound, bits=24)
    except SoundFileError as fault:
        raise Refused(str(fault)) from fault
    return path.name
