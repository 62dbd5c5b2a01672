"""``python -m trainer``, the same as the command ``yardline``."""

import os
import sys


def main() -> None:
    """Run the command line and leave with its exit code."""
    # Threads inside a matrix product fight with the sound for the processor, and gain nothing here.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from trainer.command.main import main as run

    sys.exit(run())


if __name__ == "__main__":
    main()
