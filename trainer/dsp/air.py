"""Sound on its way through air: its speed, how long it takes, and how much softer it arrives."""

import math

ZERO_CELSIUS_K = 273.15
SPEED_AT_ZERO_MPS = 331.3
"""The speed of sound in dry air at 0 °C, the usual handbook figure."""


def speed_of_sound_mps(*, temperature_c: float) -> float:
    """Return the speed of sound in dry air, in metres per second.

    Notes
    -----
    ``331.3 sqrt(1 + t / 273.15)``. ISO 9613-1:1993 has ``343.2 sqrt(T / 293.15)``, which is the same within
    0.01 %; what moisture does to it stays below half a percent.

    Raises
    ------
    ValueError
        If the temperature is not one that a field has; the message says the likely slip.
    """
    if not -40.0 <= temperature_c <= 60.0:
        raise ValueError(f"air is -40 to 60 °C, not {temperature_c:g}; did you mean °F?")
    return SPEED_AT_ZERO_MPS * math.sqrt(1.0 + temperature_c / ZERO_CELSIUS_K)


def travel_s(distance_m: float, *, temperature_c: float) -> float:
    """Return how many seconds sound takes over a distance in metres."""
    return distance_m / speed_of_sound_mps(temperature_c=temperature_c)
