"""What all tests share: laws are tried on the same examples every time; one thread inside a matrix product."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from hypothesis import settings

settings.register_profile("yardline", derandomize=True, deadline=None, max_examples=60)
settings.load_profile("yardline")
