"""Yardline: listening drills for the people who mix a marching ensemble.

Conventions of every room: audio is float32 of shape ``(frames, channels)`` with full scale 1.0; times are
in seconds, frequencies in hertz, levels in decibels, and the unit stands in the name.
"""

__version__ = "0.2.0"
