"""The doctor: what the program runs on here, finding by finding, with a way on where something is missing."""

import platform
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.metadata import version

from trainer import __version__
from trainer.assembly import Assembly
from trainer.playback.device import device_report
from trainer.refusal import Refused

LIBRARIES = ("numpy", "scipy", "soundfile", "pedalboard", "matplotlib", "sqlalchemy")


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at: whether it is well, what it is, and what was found."""

    is_well: bool
    what: str
    found: str


def findings(assembly: Assembly) -> Iterator[Finding]:
    """Yield what was found, the sound last but for the exercises."""
    system = f"Python {platform.python_version()}, {platform.platform()}"
    yield Finding(True, "Yardline", f"{__version__} on {system}")
    yield Finding(True, "libraries", ", ".join(f"{name} {version(name)}" for name in LIBRARIES))
    yield _memory(assembly)
    yield _sound(assembly)
    catalogue = assembly.catalogue
    yield Finding(True, "exercises", ", ".join(catalogue.exercises))
    for broken in catalogue.broken:
        yield Finding(False, "exercises", f"{broken.module} failed to load: {broken.reason}")


def _memory(assembly: Assembly) -> Finding:
    try:
        with assembly.open_store() as store:
            store.check()
            answers = sum(1 for _ in store.log.attempts())
            learners = len(store.log.learners())
            return Finding(True, "memory", f"{answers} answers, {learners} learners, in {assembly.folder}")
    except Refused as why:
        return Finding(False, "memory", str(why))


def _sound(assembly: Assembly) -> Finding:
    report = device_report(environ=assembly.environ)
    system = f"pygame {report.pygame_version}, SDL {report.sdl_version}"
    if report.opened:
        return Finding(True, "sound", f"{report.opened} ({system})")
    way_on = "drills work all the same: they write their sounds to files (yardline drill --wave DIR)"
    return Finding(False, "sound", f"{report.problem.rstrip('.')} ({system}); {way_on}")
