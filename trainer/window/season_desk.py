"""The season desk: the plan, and how it stands with this week's aims for one learner."""

from dataclasses import dataclass
from datetime import date

from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.progress.store import Store
from trainer.season.pages import Aim
from trainer.season.plan import SeasonPlan
from trainer.season.plan_standing import aims_of, standing_words
from trainer.season.plan_text import plan_of
from trainer.window.bands import bands_of


@dataclass(frozen=True, slots=True)
class SeasonSight:
    """What the page of the season shows.

    Attributes
    ----------
    plan
        None where there is none; all else is empty then.
    changes
        The smallest change the learner names, octave band by octave band.
    aims
        This week's, and the chance that each is reached.
    words
        How it stands with them.
    """

    plan: SeasonPlan | None
    changes: tuple[SmallestChange, ...] = ()
    aims: tuple[Aim, ...] = ()
    words: str = ""


def season_sight(store: Store, learner: str, *, today: date) -> SeasonSight:
    """Return the plan, and how it stands with a learner."""
    plan = plan_of(store)
    if plan is None:
        return SeasonSight(None)
    bands = bands_of(store, learner, today=today)
    aims = aims_of(bands.belief, plan, today)
    early_hz = {change.band_hz for change in bands.changes if change.is_early}
    return SeasonSight(plan, bands.changes, aims, standing_words(aims, early_hz))
