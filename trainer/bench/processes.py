"""Whole processes: how long until the first question, how much memory a drill takes, beside bare imports."""

import os
import subprocess
import sys
from functools import partial
from pathlib import Path

import trainer
from trainer.bench.measure import median_s
from trainer.bench.row import Clock, Measured, Scale
from trainer.ensemble.bank import CAP_BYTES

LIBRARIES = (
    "click", "matplotlib", "numpy", "pedalboard", "pygame", "rich.console", "rich.table", "scipy.fft",
    "scipy.ndimage", "scipy.signal", "soundfile", "sqlalchemy",
)  # fmt: skip
"""What may have been loaded; a bare import loads those that were."""
LONGEST_S = 120.0

_START = "from trainer.command.main import main; main(['exercises'])"
_DRILL = "from trainer.bench.drilling import drill; print(drill({count}))"
_PEAK = "from trainer.bench.drilling import peak_bytes; print(peak_bytes())"
_LOADED = "import sys; print(*(name for name in {names} if name in sys.modules))"


def start(scale: Scale, clock: Clock) -> Measured:
    """Measure from the start of a process until it has listed what it can ask."""
    libraries = _libraries_after(_START)
    ours_s = median_s([partial(_run, "-m", "trainer", "exercises")] * scale.starts, clock=clock)
    bare_s = median_s([partial(_run, "-c", _imports(libraries))] * scale.starts, clock=clock)
    return Measured(ours_s, bare_s, f"bare import of {', '.join(libraries)}")


def memory(scale: Scale, clock: Clock) -> Measured:  # noqa: ARG001 - every row takes the same
    """Measure the most memory a drill takes, in a process of its own."""
    work = _DRILL.format(count=scale.drilled)
    said = _run("-c", f"{work}; {_LOADED.format(names=LIBRARIES)}").splitlines()
    peak_mb, libraries = float(said[-2]) / 1e6, said[-1].split()
    bare_mb = float(_run("-c", f"{_imports(libraries)}; {_PEAK}").split()[-1]) / 1e6
    note = f"{scale.drilled} reps, dealt ahead; the note bank grows with every excerpt, to {CAP_BYTES / 1e6:.0f} MB"
    return Measured(peak_mb, bare_mb, f"bare import of {', '.join(libraries)}", note)


def _imports(libraries: list[str]) -> str:
    return f"import {', '.join(libraries)}"


def _libraries_after(work: str) -> list[str]:
    """Return the libraries that are loaded when some work is done."""
    return _run("-c", f"{work}; {_LOADED.format(names=LIBRARIES)}").splitlines()[-1].split()


def _run(*arguments: str) -> str:
    """Return what a Python that finds this program says."""
    home = str(Path(trainer.__file__).parent.parent)
    environ = {**os.environ, "PYTHONPATH": os.pathsep.join([home, os.environ.get("PYTHONPATH", "")])}
    done = subprocess.run(
        [sys.executable, *arguments],
        check=False,
        capture_output=True,
        text=True,
        timeout=LONGEST_S,
        env=environ,
    )
    if done.returncode:
        raise RuntimeError(
            f"the process failed: {(done.stderr.strip() or done.stdout.strip()).splitlines()[-1:]}"
        )
    return done.stdout
