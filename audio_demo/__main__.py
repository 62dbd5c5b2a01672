"""``python -m audio_demo``: the demo show on the sound device, or in files."""

import os
import sys


def main() -> None:
    """Run the demo and leave with its exit code."""
    # Threads inside a matrix product fight with the sound for the processor, and gain nothing here.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from audio_demo.command import main as run

    sys.exit(run())


if __name__ == "__main__":
    main()
