"""The heap: large blocks of memory go back to the system when they are let go of (mallopt(3) of the GNU C library)."""

import ctypes
import sys

LARGE_BYTES = 1 << 20
M_MMAP_THRESHOLD = -3


def give_back_large_blocks() -> bool:
    """Have blocks of a megabyte and more mapped by themselves; say whether this system can.

    By itself the C library raises that size to 32 MB when a mapped block is freed; stems are smaller, and the holes
    they leave in the heap come to a tenth of all memory.
    """
    if not sys.platform.startswith("linux"):
        return False
    try:
        return bool(ctypes.CDLL(None).mallopt(M_MMAP_THRESHOLD, LARGE_BYTES))
    except (OSError, AttributeError):
        return False
