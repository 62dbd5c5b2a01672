"""A drill nobody hears, and the most memory this process ever took."""

import sys
import tempfile
from pathlib import Path

from trainer.assembly import Assembly
from trainer.playback.player import Version
from trainer.playback.silent import SilentPlayer
from trainer.progress.places import HOME_VARIABLE

STATUS = Path("/proc/self/status")


def drill(count: int) -> int:
    """Answer so many reps of all exercises as a learner who gives up; return the peak memory in bytes."""
    with tempfile.TemporaryDirectory() as home:
        assembly = Assembly(environ={HOME_VARIABLE: home})
        exercises = tuple(assembly.catalogue.exercises)
        player = SilentPlayer()
        sitting = assembly.new_sitting("bench", exercises, "field-show", count)
        with assembly.open_store() as store, assembly.block(store, sitting) as block:
            while not block.finished:
                player.load({Version.PLAIN: block.rep.plain, Version.CHANGED: block.rep.changed})
                player.play()
                block.heard()
                block.answer(None)
    return peak_bytes()


def peak_bytes() -> int:
    """Return the most memory this process has had at once.

    Notes
    -----
    ``getrusage`` counts on Linux what the process had before it became this program, a copy of its parent;
    the kernel's high-water mark does not.
    """
    if STATUS.exists():
        lines = STATUS.read_text(encoding="ascii", errors="replace").splitlines()
        marks = [line.split()[1] for line in lines if line.startswith("VmHWM:")]
        if marks:
            return 1024 * int(marks[0])
    import resource

    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak if sys.platform == "darwin" else 1024 * peak
