"""The study in words for the terminal: what, reached, and what it must be."""

from trainer.bench.table import WORDS
from trainer.bench.thresholds.study import SEEDS, Reached

WIDE = 60


def caption(learners: int) -> str:
    """Return what the study simulates."""
    return (
        f"{learners} simulated learners a world, {len(SEEDS)} times each, 60 days of 25 questions; means of the "
        f"{len(SEEDS)}.\nThe worlds are made up: what they show is how the filter does in them, not how people hear."
    )


def reached_line(reached: Reached) -> str:
    """Return one quantity as a line."""
    words = f"{reached.what:{WIDE}} {reached.value:8.3f}"
    return f"{words}   {_limits(reached)}: {WORDS[reached.is_kept]}" if _limits(reached) else words


def _limits(reached: Reached) -> str:
    if reached.low is not None and reached.high is not None:
        return f"{reached.low:g} to {reached.high:g}"
    if reached.low is not None:
        return f"≥ {reached.low:.3g}"
    return "" if reached.high is None else f"≤ {reached.high:.3g}"
