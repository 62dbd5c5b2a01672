"""What all tests share: the same examples for laws every time; one thread in a matrix product."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from hypothesis import settings

settings.register_profile("yardline", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("yardline")
