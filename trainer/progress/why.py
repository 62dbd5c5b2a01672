"""Why a block asked what it asked, in words; for its end, never before an answer."""

from collections import Counter
from collections.abc import Mapping, Sequence

from trainer.practice.band_scale import band_label
from trainer.practice.block import Mark
from trainer.practice.exercise import Exercise
from trainer.progress.due import Due, Plan
from trainer.progress.setups import Setup


def why_words(
    plan: Plan | None, marks: Sequence[Mark], exercises: Mapping[str, Exercise], *, setup: Setup | None = None
) -> str:
    """Return why a block had the exercises it had, and came by its octave bands.

    Parameters
    ----------
    plan
        What was due, where the block was that.
    setup
        What was listened on, where the learner said.
    """
    said = []
    if plan is not None:
        reasons = [f"{exercises[due.exercise].title} ({why_due(due)})" for due in plan.due]
        said.append(f"{'Due' if plan.is_anything_due else 'Next'}: {', '.join(reasons)}.")
    asked = Counter(next(iter(mark.bands)) for mark in marks if mark.bands)
    often = [band_label(band_hz) for band_hz, count in asked.most_common(2) if count > 1]
    drawn = "Bands are drawn by chance, oftener where your figure is large or uncertain"
    said.append(f"{drawn}; most came at {' and '.join(often)}." if often else f"{drawn}.")
    if setup is not None and setup.missing_hz:
        missing = ", ".join(map(band_label, setup.missing_hz))
        said.append(f"Left out, for {setup.name} cannot play it: {missing}.")
    return " ".join(said)


def why_due(due: Due) -> str:
    """Return why an exercise is drilled today, in words that follow its name."""
    if due.days_since is None:
        return "new to you"
    last = {0: "last drilled today", 1: "last drilled yesterday"}.get(
        due.days_since, f"last drilled {due.days_since} days ago"
    )
    again = "every day" if due.interval_days == 1 else f"every {due.interval_days} days"
    return f"{last}, wanted {again}"
