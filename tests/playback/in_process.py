"""Sessions at a device in processes of their own: a dead-lock there ends that process, not the tests."""

import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).parents[2]


def run(module: str, *arguments: object, environ: Mapping[str, str]) -> subprocess.CompletedProcess[str]:
    """Run a program of this folder with SDL's variables set as given."""
    return subprocess.run(
        [sys.executable, "-m", f"tests.playback.{module}", *map(str, arguments)],
        cwd=ROOT,
        env={**os.environ, **environ},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
