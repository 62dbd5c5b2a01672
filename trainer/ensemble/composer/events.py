"""Pulses and events: music on its way to a score, counted in ticks, before dynamics shape it."""

from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple

TICKS_PER_BEAT = 24
"""The finest grid of the composer: a beat divides into 2, 3, 4, 6 and 8."""


class Pulse(NamedTuple):
    """A rhythm's smallest piece: when, how long, and how it is marked (the marks: see ``grammars``)."""

    tick: int
    ticks: int
    mark: str


class Tone(NamedTuple):
    """A pulse that found its pitch, a MIDI note number."""

    tick: int
    ticks: int
    pitch: int
    mark: str


class Event(NamedTuple):
    """A note before its dynamics are shaped: ``stress`` is its weight, 1 for an accent."""

    tick: int
    ticks: int
    pitch: int
    stress: float
    technique: str = "plain"


def moved(pulses: Iterable[Pulse], ticks: int) -> list[Pulse]:
    """Return the pulses, ``ticks`` later."""
    return [Pulse(tick + ticks, length, mark) for tick, length, mark in pulses]


def within(pulses: Iterable[Pulse], start: int, end: int) -> list[Pulse]:
    """Return the pulses that start from ``start`` up to, not including, ``end``."""
    return [pulse for pulse in pulses if start <= pulse.tick < end]


def one_at_a_time(events: list[Event]) -> list[Event]:
    """Return a line, in order of time, in which each note ends where the next begins at the latest."""
    line = [
        event._replace(ticks=min(event.ticks, following.tick - event.tick))
        for event, following in pairwise(events)
    ]
    return line + events[-1:]
