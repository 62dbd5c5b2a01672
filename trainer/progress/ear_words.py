"""An ear in words: the smallest change by octave band, and how sure that is; the same in every shell."""

from collections.abc import Sequence

from trainer.practice.band_scale import band_label
from trainer.progress.figures.holes import Hole
from trainer.progress.figures.own_figures import OwnFigure, kind_words
from trainer.progress.figures.smallest_changes import LARGEST_DB, SmallestChange

TOO_EARLY = "too early to tell"
BEYOND = f"> {LARGEST_DB:g} dB"
REVISED = "revised as more answers arrive"
MOST_DOTS = 14
"""So many weeks can be told apart in a lane; of a longer time every second, third … is shown."""


def size_words(change: SmallestChange) -> str:
    """Return T75 in words: "5.2 dB", "> 15 dB", or that it is too early to tell."""
    if change.is_early:
        return TOO_EARLY
    return BEYOND if change.is_beyond else f"{change.t75_db:.1f} dB"


def range_words(change: SmallestChange, *, unit: str = " dB") -> str:
    """Return T75's interval in words: "4.1–6.1 dB", and where it goes on beyond all that is asked, "from 11.2 dB"."""
    low, high = change.interval.low, change.interval.high
    if low > LARGEST_DB:
        return f"over {LARGEST_DB:g}{unit}"
    if high > LARGEST_DB:
        return f"from {low:.1f}{unit}"
    return f"{low:.1f}–{high:.1f}{unit}"


def to_go_words(change: SmallestChange) -> str:
    """Return how many answers are to come before a figure is told."""
    return f"{change.missing} to go"


def named_words(change: SmallestChange) -> str:
    """Return what a learner names here, as a sentence."""
    if change.is_early:
        more = "answer" if change.missing == 1 else "answers"
        return f"Too early to tell: {change.missing} more {more} to go."
    low, high = change.interval.low, change.interval.high
    if low > LARGEST_DB:
        return f"Here you would need more than {LARGEST_DB:g} dB."
    if high > LARGEST_DB:
        return f"You name about {low:.1f} dB and more here."
    return f"You name about {low:.1f}–{high:.1f} dB here."


def hole_words(hole: Hole) -> str:
    """Return what is said of a band that needs much larger changes than the others, as a sentence."""
    low, high = hole.interval.low, hole.interval.high
    return (
        f"At {band_label(hole.band_hz)} it takes about {low:.1f} to {high:.1f} times the change it takes at the "
        "other bands: listen for it there."
    )


def own_words(figure: OwnFigure) -> str:
    """Return what is said of a kind of question with a figure of its own, as a sentence."""
    name = kind_words(figure.kind)
    if figure.missing:
        more = "answer" if figure.missing == 1 else "answers"
        return f"{name}: too early to tell, {figure.missing} more {more} to go."
    if figure.interval is not None:
        low, high = figure.interval.low, figure.interval.high
        return f"{name}: the smallest you can name is about {low:.2g}–{high:.2g} {figure.unit}."
    if figure.rate is not None:
        interval = figure.rate.interval
        sure = f"{interval.low:.0%}–{interval.high:.0%}"
        return f"{name}: you named {figure.rate.value:.0%} of {figure.answers} ({sure})."
    return f"{name}: {figure.answers} answers."


def weeks_shown(weeks: Sequence[int]) -> list[int]:
    """Return the weeks, or of many every second, third … so that dots stay apart; the last is among them."""
    step = -(-len(weeks) // MOST_DOTS) if weeks else 1
    return list(weeks[::-1][::step][::-1])
