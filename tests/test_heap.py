"""The heap gives large blocks back."""

import sys
from pathlib import Path

import numpy as np
import pytest

from trainer.heap import LARGE_BYTES, give_back_large_blocks

STATUS = Path("/proc/self/status")


def resident_kb() -> int:
    line = next(line for line in STATUS.read_text(encoding="ascii").splitlines() if line.startswith("VmRSS:"))
    return int(line.split()[1])


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="of the GNU C library")
def test_a_large_block_goes_back_when_it_is_let_go_of() -> None:
    """mallopt(3), M_MMAP_THRESHOLD: without it a freed block of 20 MB would raise the size of mapped blocks."""
    assert give_back_large_blocks()
    np.ones(20 * LARGE_BYTES, np.uint8)
    before = resident_kb()
    blocks = [np.ones(4 * LARGE_BYTES, np.uint8) for _ in range(20)]
    keepers = [np.ones(1000, np.uint8) for _ in range(20)]
    held = resident_kb()
    del blocks
    after = resident_kb()
    assert held - before > 60_000
    assert after - before < 8_000
    assert len(keepers) == 20
