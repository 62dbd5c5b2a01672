"""FluidSynth as a peer: the sampler most of us have, rendering the same notes to a file."""

import shutil
import subprocess
import tempfile
from dataclasses import replace
from pathlib import Path

from trainer.bench.measure import seconds_of
from trainer.bench.midi_files import midi_file
from trainer.bench.row import Clock
from trainer.ensemble.score import Score
from trainer.sound import RATE_HZ

PROGRAM = "fluidsynth"
FOLDERS = ("/usr/share/sounds/sf2", "/usr/share/soundfonts", "/usr/local/share/soundfonts")
LONGEST_S = 60.0


def found_soundfont() -> Path | None:
    """Return a soundfont to render with, if there is one and the program for it."""
    if shutil.which(PROGRAM) is None:
        return None
    found = [path for folder in FOLDERS for path in sorted(Path(folder).glob("*.sf2"))]
    return found[0] if found else None


def seconds_to_render(score: Score, soundfont: Path, *, clock: Clock) -> float:
    """Return how long FluidSynth renders a score, dry and on one core, its start and loading taken off.

    Notes
    -----
    The start is the time of a run that has one note to play.
    """
    with tempfile.TemporaryDirectory() as folder:
        one = replace(score, notes=score.notes[:1])
        _render(one, soundfont, Path(folder))  # brings the soundfont into the system's cache
        start_s = seconds_of(lambda: _render(one, soundfont, Path(folder)), clock=clock)
        whole_s = seconds_of(lambda: _render(score, soundfont, Path(folder)), clock=clock)
    return max(whole_s - start_s, 1e-3)


def _render(score: Score, soundfont: Path, folder: Path) -> None:
    notes, sound = folder / "notes.mid", folder / "sound.wav"
    notes.write_bytes(midi_file(score))
    settings = ["-ni", "-q", "-R", "0", "-C", "0", "-r", str(RATE_HZ), "-o", "synth.cpu-cores=1"]
    command = [PROGRAM, *settings, "-F", str(sound), str(soundfont), str(notes)]
    subprocess.run(command, check=True, capture_output=True, timeout=LONGEST_S)
