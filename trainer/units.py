"""Decibels and ratios, notes and hertz, frames and seconds, yards and degrees: the conversions every room shares."""

import math

A4_HZ = 440.0
"""ISO 16: the tuning frequency of the A above middle C (MIDI note 69)."""
METRES_PER_YARD = 0.9144
"""Exact, by the international agreement of 1959."""


def db_to_ratio(level_db: float) -> float:
    """Return the amplitude ratio of a level difference in dB."""
    return float(10.0 ** (level_db / 20.0))


def ratio_to_db(ratio: float) -> float:
    """Return the level difference in dB of an amplitude ratio; ``-inf`` for zero."""
    return 20.0 * math.log10(ratio) if ratio > 0.0 else -math.inf


def power_to_db(power: float) -> float:
    """Return the level in dB of a power ratio; ``-inf`` for zero."""
    return 10.0 * math.log10(power) if power > 0.0 else -math.inf


def midi_to_hz(note: float) -> float:
    """Return the frequency of a MIDI note number in equal temperament (ISO 16, A4 = 440 Hz)."""
    return float(A4_HZ * 2.0 ** ((note - 69.0) / 12.0))


def seconds_to_frames(duration_s: float, rate_hz: int) -> int:
    """Return the whole number of frames nearest to a duration."""
    return round(duration_s * rate_hz)


def yards_to_metres(distance_yd: float) -> float:
    """Return a distance in metres."""
    return METRES_PER_YARD * distance_yd


def fahrenheit_to_celsius(temperature_f: float) -> float:
    """Return a temperature in degrees Celsius."""
    return (temperature_f - 32.0) / 1.8
