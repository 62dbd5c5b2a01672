"""The exercises that come with Yardline: one module each, with an ``EXERCISE`` in it."""
