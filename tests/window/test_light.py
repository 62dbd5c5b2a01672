"""What is loaded when: nothing heavy before the first frame, nothing of scipy before the first rep is made."""

import subprocess
import sys

import pytest

HEAVY = ("numpy", "scipy", "sqlalchemy", "matplotlib", "pedalboard", "soundfile", "fontTools", "rich")
BY_DOOR = "import trainer.window.door"
THRESHOLDS = "import trainer.progress.thresholds"
"""The measure of an ear, for anybody's own simulated learners."""
WHOLE = "import trainer.assembly, trainer.window.view, trainer.playback.device, trainer.dsp.programme_noise"


def loaded(work: str, names: tuple[str, ...]) -> set[str]:
    """Return which of some libraries a new process has loaded after some work."""
    said = f"{work}; import sys; print(*(name for name in {names!r} if name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", said], check=True, capture_output=True, text=True)
    return set(done.stdout.split())


@pytest.mark.parametrize(
    ("work", "names", "expected"),
    [
        (BY_DOOR, HEAVY, set()),
        (WHOLE, ("scipy", "matplotlib", "pedalboard"), set()),
        (WHOLE, ("numpy", "sqlalchemy"), {"numpy", "sqlalchemy"}),
        (THRESHOLDS, (*HEAVY, "pygame"), {"numpy"}),
    ],
    ids=[
        "before the first frame",
        "before the first rep",
        "what the session does need",
        "the thresholds alone",
    ],
)
def test_what_is_loaded_when(work: str, names: tuple[str, ...], expected: set[str]) -> None:
    assert loaded(work, names) == expected
