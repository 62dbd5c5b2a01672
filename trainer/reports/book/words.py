"""Figures in the words that the book's pages share."""

from datetime import date

from trainer.progress.ear_words import TOO_EARLY, range_words, size_words
from trainer.progress.figures.reaching import standing_of
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.season.pages import Aim

SIGNS = {"on track": "✓", "behind": "✗", "too close to tell": "≈"}
"""What stands beside a chance: reached, missed, or neither can be said."""
NARROW = "\u202f"


def band_name(band_hz: float | str) -> str:
    """Return a band's short name: 31.5, 63 … 1k … 16k; words stay as they are."""
    if isinstance(band_hz, str):
        return band_hz
    return f"{band_hz / 1000:g}k" if band_hz >= 1000 else f"{band_hz:g}"


def count_words(count: float) -> str:
    """Return a whole number, its thousands apart."""
    return f"{count:,.0f}".replace(",", NARROW)


def counted(count: int, word: str) -> str:
    """Return how many there are of something."""
    return f"{count_words(count)} {word}{'' if count == 1 else 's'}"


def day_words(day: date | None) -> str:
    """Return a day as it is written."""
    return "–" if day is None else f"{day.day} {day:%b %Y}"


def percent(share: float) -> str:
    """Return a share in percent."""
    return f"{100 * share:.0f} %"


def chance_words(aim: Aim) -> str:
    """Return the chance that an aim is reached, never told as certain, with its sign."""
    shown = min(max(aim.chance, 0.01), 0.99)
    return f"{SIGNS[standing_of(aim.chance)]} {percent(shown)}"


def now_words(change: SmallestChange) -> str:
    """Return T75 for a narrow place."""
    return "too early" if change.is_early else size_words(change)


def interval_words(change: SmallestChange) -> str:
    """Return T75's interval, or how many answers are missing."""
    return f"{change.missing} to go" if change.is_early else range_words(change, unit="")


def first_words(change: SmallestChange) -> str:
    """Return what T75 was in week 1."""
    if change.is_early or change.week_1_db is None:
        return "–"
    return f"{change.week_1_db:.1f} dB"


def full_words(change: SmallestChange) -> str:
    """Return T75 and its interval for a table that is read aloud."""
    return TOO_EARLY if change.is_early else f"{size_words(change)} ({range_words(change)})"
