"""How it stands with the plan's aims: the chance of each octave band, and in words what can be said of it."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.practice.band_scale import OCTAVE_SCALE, band_label
from trainer.progress.figures.reaching import Standing, chances_reached, standing_of
from trainer.progress.figures.smallest_changes import smallest_changes
from trainer.progress.improvement_words import listed
from trainer.progress.roster_replay import replayed_all
from trainer.progress.store import Store
from trainer.progress.thresholds.belief import Belief
from trainer.season.pages import Aim
from trainer.season.plan import SeasonPlan
from trainer.season.roster import Member, roster_of

MOST_NAMED = 3
"""So many bands are named where somebody is behind; more are counted."""
SURELY_NOT = 0.01


@dataclass(frozen=True, slots=True)
class LearnerStanding:
    """How it stands with somebody: their aims, which bands it is too early to tell of, and in words."""

    name: str
    role: str
    aims: tuple[Aim, ...]
    early_hz: frozenset[float]
    words: str

    def bands_hz(self, standing: Standing) -> tuple[float, ...]:
        """Return the bands in which it stands like that."""
        return tuple(
            aim.band_hz for aim in told_aims(self.aims, self.early_hz) if standing_of(aim.chance) == standing
        )


def standings_of(
    store: Store,
    plan: SeasonPlan,
    *,
    today: date,
    members: Sequence[Member] | None = None,
    told: Callable[[int], object] = lambda _: None,
) -> tuple[LearnerStanding, ...]:
    """Return how it stands with some members.

    Parameters
    ----------
    members
        Everybody on the roster who was not archived, where none are given.
    told
        Hears how many were looked at.
    """
    chosen = roster_of(store).present if members is None else members
    replays = replayed_all(store, [one.learner for one in chosen], today=today)
    found: list[LearnerStanding] = []
    for number, member in enumerate(chosen, 1):
        belief = replays[member.learner].now.belief
        answers: dict[float, float] = {}
        for tally in store.sums.tallies(learner=member.learner):
            answers[tally.band_hz] = answers.get(tally.band_hz, 0.0) + tally.asked
        early_hz = frozenset(one.band_hz for one in smallest_changes(belief, answers) if one.is_early)
        aims = aims_of(belief, plan, today)
        found.append(
            LearnerStanding(member.name, member.role, aims, early_hz, standing_words(aims, early_hz))
        )
        told(number)
    return tuple(found)


def aims_of(belief: Belief, plan: SeasonPlan | None, day: date) -> tuple[Aim, ...]:
    """Return what is aimed at on a day, and the chance that it is reached; empty where there is no plan."""
    if plan is None:
        return ()
    sizes_db = plan.aims_on(day)
    return tuple(
        Aim(*one)
        for one in zip(OCTAVE_SCALE.names_hz, sizes_db, chances_reached(belief, sizes_db), strict=True)
    )


def told_aims(aims: Sequence[Aim], early_hz: Collection[float]) -> list[Aim]:
    """Return the aims of the bands of which it is not too early to tell."""
    return [aim for aim in aims if aim.band_hz not in early_hz]


def standing_words(aims: Sequence[Aim], early_hz: Collection[float]) -> str:
    """Return how it stands, as a sentence: "On track in 6 bands, behind at 250 Hz (chance 4 %) …"."""
    if not aims:
        return ""
    told = told_aims(aims, early_hz)
    if not told:
        return "Too early to tell in any band."
    groups: dict[Standing, list[Aim]] = {"on track": [], "behind": [], "too close to tell": []}
    for aim in told:
        groups[standing_of(aim.chance)].append(aim)
    parts = [f"{word} {_where(word, group, len(aims))}" for word, group in groups.items() if group]
    if len(told) < len(aims):
        parts.append(f"too early to tell in {len(aims) - len(told)}")
    text = ", ".join(parts)
    return f"{text[0].upper()}{text[1:]}."


def _where(standing: Standing, group: Sequence[Aim], whole: int) -> str:
    if len(group) == whole:
        return "in every band"
    if standing == "behind" and len(group) <= MOST_NAMED:
        return f"at {listed([f'{band_label(aim.band_hz)} ({_chance(aim.chance)})' for aim in group])}"
    if len(group) == 1:
        return f"at {band_label(group[0].band_hz)}"
    return f"in {len(group)} bands"


def _chance(chance: float) -> str:
    percent = f"below {100 * SURELY_NOT:.0f}" if chance < SURELY_NOT else f"{100 * chance:.0f}"
    return f"chance {percent} %"
