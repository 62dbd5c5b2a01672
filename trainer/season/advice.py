"""Advice: what a learner is to drill next and why, as one paragraph for staff.

Each sentence stands on a figure of the page; where there is nothing to say, nothing is said. That short and often
beats long and seldom is known of learning words and facts (N. J. Cepeda et al., Psychological Bulletin 132, 2006);
how far it holds for listening is not.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from trainer.practice.band_scale import OCTAVE_SCALE, band_label
from trainer.progress.ear_figures import EarFigures
from trainer.progress.ear_words import range_words
from trainer.progress.figures.confusions import Confusions
from trainer.progress.figures.direction_bias import direction_bias_of
from trainer.progress.figures.holes import Hole
from trainer.progress.figures.improvement import Improvement
from trainer.progress.figures.intervals import TooFew, wilson
from trainer.progress.figures.reaching import standing_of
from trainer.progress.figures.smallest_changes import FEWEST_ANSWERS, SmallestChange
from trainer.progress.improvement_words import bands_words, chance_words
from trainer.progress.season_counts import Said
from trainer.season.pages import Aim

LONG_AWAY_DAYS = 7
LOOKED_BACK_DAYS, FEW_DAYS = 14, 6
"""On fewer days than these of the last two weeks somebody is asked to drill more often (common practice, no source)."""
MOST_BANDS = 2
CONFUSED_SHARE = 0.15
"""In more than so many of its answers, as far as can be told, one band must be said for another to be named; by
guessing among ten bands a wrong one comes in less than one of ten."""


@dataclass(frozen=True, slots=True)
class Weak:
    """A band to drill: what is named there, whether it is a hole, and its aim where there is a plan."""

    change: SmallestChange
    hole: Hole | None
    aim: Aim | None

    @property
    def is_on_track(self) -> bool:
        """Whether the aim is reached, as far as can be told."""
        return self.aim is not None and standing_of(self.aim.chance) == "on track"

    @property
    def lack(self) -> float:
        """How many times its aim T75 is; T75 itself where there is none."""
        return self.change.t75_db / (1.0 if self.aim is None else self.aim.aim_db)


def advice_words(
    ear: EarFigures, said: Said, aims: Sequence[Aim], *, days: Sequence[date], today: date, minutes: int
) -> str:
    """Return the paragraph.

    Parameters
    ----------
    said
        What was said for what, in octave tone.
    aims
        This week's; empty where there is no plan.
    days
        The days with answers, in order.
    minutes
        How long a day's block is.
    """
    if not days:
        return (
            f"Has not drilled yet: begin with a block of {minutes} minutes a day of octave tone on the full mix; "
            f"the first figures come after {FEWEST_ANSWERS} answers."
        )
    how_often = _how_often(days, today, minutes)
    if all(change.is_early for change in ear.bands):
        return _joined(_too_early(ear, minutes), how_often)
    weak = _weak(ear, aims)
    confused = [_confused(one.change.band_hz, said.bands) for one in weak]
    return _joined(_drill(weak, minutes), *confused, _bias(said), _worse(ear), _early(ear), how_often)


def _too_early(ear: EarFigures, minutes: int) -> str:
    missing = max(change.missing for change in ear.bands)
    answers = "1 more answer" if missing == 1 else f"{missing} more answers"
    return (
        f"It is too early to tell where the ear is weak, {answers} to go: octave tone on the full mix, "
        f"{minutes} minutes a day, tells of all bands at once."
    )


def _weak(ear: EarFigures, aims: Sequence[Aim]) -> list[Weak]:
    """Return the bands to drill: holes first, the deepest first, then what lacks most to its aim, or is largest."""
    holes = {hole.band_hz: hole for hole in ear.holes}
    aimed = {aim.band_hz: aim for aim in aims}
    known = [
        Weak(one, holes.get(one.band_hz), aimed.get(one.band_hz)) for one in ear.bands if not one.is_early
    ]
    order = sorted(known, key=lambda one: (-_depth(one.hole), -one.lack, one.change.band_hz))
    not_there = [one for one in order if one.hole is not None or not one.is_on_track]
    return not_there[:MOST_BANDS] or order[:1]


def _depth(hole: Hole | None) -> float:
    return 0.0 if hole is None else hole.ratio


def _drill(weak: Sequence[Weak], minutes: int) -> str:
    """Return which exercise, on what, how long, and which bands to listen for."""
    where = " and ".join(map(_named, weak))
    if all(one.is_on_track and one.hole is None for one in weak):
        return (
            f"On track in every band: go on with octave tone on single sections and stems, {minutes} minutes a day, "
            f"and with the other exercises; the largest change is needed at {where}."
        )
    return f"Drill octave tone on the full mix, {minutes} minutes a day, and listen for {where}."


def _named(weak: Weak) -> str:
    """Return a band with what is needed there, and why it is named."""
    parts = [f"needs {range_words(weak.change)}"]
    if weak.hole is not None:
        parts.append(f"{weak.hole.ratio:.1f} times the change of the other bands")
    if weak.aim is not None:
        parts.append(f"the aim is {weak.aim.aim_db:.1f} dB")
    return f"{band_label(weak.change.band_hz)} ({', '.join(parts)})"


def _confused(band_hz: float, confusions: Confusions) -> str:
    """Return which band is said instead of a weak one, where one stands out for sure."""
    row = OCTAVE_SCALE.place(band_hz)
    asked = confusions.asked[row]
    said_for = zip(confusions.counts[row], OCTAVE_SCALE.names_hz, strict=True)
    others = [pair for pair in said_for if pair[1] != band_hz]
    count, said = max(others, key=lambda pair: pair[0])
    if wilson(count, asked).low <= CONFUSED_SHARE:
        return ""
    there, here = band_label(said), band_label(band_hz)
    return f"{here} is taken for {there} in {count} of {asked}: hear the two one after the other."


def _bias(said: Said) -> str:
    bias = direction_bias_of(said.directions.counts)
    if isinstance(bias, TooFew) or bias.leans_to is None:
        return ""
    return f"In doubt says {bias.leans_to} more often than it is true."


def _worse(ear: EarFigures) -> str:
    found = ear.improvement
    if not isinstance(found, Improvement) or not found.is_larger:
        return ""
    chance = chance_words(1.0 - found.overall.chance)
    return f"Larger changes are needed than in week 1 (chance {chance}): ask what is different."


def _early(ear: EarFigures) -> str:
    early_hz = [change.band_hz for change in ear.bands if change.is_early]
    return f"Of {bands_words(early_hz)} it is too early to tell." if early_hz else ""


def _how_often(days: Sequence[date], today: date, minutes: int) -> str:
    """Return what to say of how often somebody drills; nothing where it is often enough."""
    away = (today - days[-1]).days
    if away >= LONG_AWAY_DAYS:
        return f"Has not drilled for {away} days: {minutes} minutes a day do more than an hour now and then."
    recent = sum(0 <= (today - day).days < LOOKED_BACK_DAYS for day in days)
    is_new = (today - days[0]).days < LOOKED_BACK_DAYS
    if recent >= FEW_DAYS or is_new:
        return ""
    on_days = "1 day" if recent == 1 else f"{recent} days"
    return f"Drilled on {on_days} of the last {LOOKED_BACK_DAYS}: {minutes} minutes on most days do more."


def _joined(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)
