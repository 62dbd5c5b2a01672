"""Advice: what a learner is to drill next and why, as one paragraph for staff."""

from collections.abc import Sequence
from datetime import date

from trainer.practice.fields import band_label
from trainer.progress.ear_figures import EarFigures
from trainer.progress.ear_words import range_words, size_words
from trainer.progress.figures.confusions import Confusions
from trainer.progress.figures.improvement import Improvement
from trainer.progress.figures.reaching import standing_of
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.progress.improvement_words import bands_words
from trainer.season.pages import Aim

LONG_AWAY_DAYS = 7
MOST_BANDS = 2
FEWEST_CONFUSED, CONFUSED_SHARE = 3, 0.15
"""So often, and in so large a share, one band must be said for another to be told."""


def advice_words(
    ear: EarFigures,
    confusions: Confusions,
    aims: Sequence[Aim],
    *,
    last_day: date | None,
    today: date,
    minutes: int,
) -> str:
    """Return the paragraph; it says nothing that the figures do not.

    Parameters
    ----------
    aims
        This week's; empty where there is no plan.
    last_day
        The last day with answers, or None.
    minutes
        How long a day's block is.
    """
    if last_day is None:
        return f"Has not drilled yet: a block of {minutes} minutes a day is a beginning; figures come after 20 answers."
    known = [change for change in ear.bands if not change.is_early]
    sentences = [_away(last_day, today, minutes)]
    if not known:
        missing = max(change.missing for change in ear.bands)
        sentences.append(
            f"It is too early to tell where the ear is weak: {missing} more answers; octave tone on the full mix "
            "tells of all bands at once."
        )
        return _joined(sentences)
    weak = _weak(ear, aims, known)
    sentences += [_drill(weak, aims), *(_confused(change, confusions) for change in weak), _gone(ear)]
    if any(change.is_early for change in ear.bands):
        early = [change.band_hz for change in ear.bands if change.is_early]
        sentences.append(f"Of {bands_words(early)} it is too early to tell.")
    return _joined(sentences)


def _away(last_day: date, today: date, minutes: int) -> str:
    days = (today - last_day).days
    if days < LONG_AWAY_DAYS:
        return ""
    return f"Has not drilled for {days} days: {minutes} minutes a day do more than an hour once a week."


def _weak(ear: EarFigures, aims: Sequence[Aim], known: Sequence[SmallestChange]) -> list[SmallestChange]:
    """Return the bands to drill: holes first, then what lies farthest behind its aim, or is largest."""
    in_hole = {hole.band_hz for hole in ear.holes}
    aimed = {aim.band_hz: aim.aim_db for aim in aims}
    return sorted(
        known,
        key=lambda one: (one.band_hz not in in_hole, -one.t75_db / aimed.get(one.band_hz, 1.0), one.band_hz),
    )[:MOST_BANDS]


def _drill(weak: Sequence[SmallestChange], aims: Sequence[Aim]) -> str:
    by_band = {aim.band_hz: aim for aim in aims}
    where = " and ".join(
        f"{band_label(one.band_hz)} ({size_words(one)}, {range_words(one)}{_aim_words(by_band.get(one.band_hz))})"
        for one in weak
    )
    if aims and all(standing_of(aim.chance) == "on track" for aim in aims):
        return f"Every band is where it is aimed to be; the largest change is needed at {where}."
    return f"Drill octave tone on the full mix and listen for {where}."


def _aim_words(aim: Aim | None) -> str:
    return "" if aim is None else f"; the aim is {aim.aim_db:.1f} dB"


def _confused(change: SmallestChange, confusions: Confusions) -> str:
    """Return which band is said instead of a weak one, where one stands out."""
    if change.band_hz not in confusions.keys:
        return ""
    row = confusions.keys.index(change.band_hz)
    asked = confusions.asked[row]
    others = [(count, said) for said, count in zip(confusions.keys, confusions.counts[row], strict=True)
              if said != change.band_hz]  # fmt: skip
    count, said = max(others, key=lambda pair: pair[0])
    if count < FEWEST_CONFUSED or count < CONFUSED_SHARE * asked:
        return ""
    there = band_label(change.band_hz)
    return f"{there} is taken for {band_label(float(said))} in {count} of {asked}: hear the two one after the other."


def _gone(ear: EarFigures) -> str:
    found = ear.improvement
    if not isinstance(found, Improvement):
        return ""
    if found.is_larger:
        return "On the whole larger changes are needed than in week 1: shorter blocks, and rest."
    return "" if not found.is_smaller else "On the whole smaller changes are named than in week 1."


def _joined(sentences: Sequence[str]) -> str:
    return " ".join(sentence for sentence in sentences if sentence)
