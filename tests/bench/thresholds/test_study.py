"""The study on fewer learners: what must be reached is reached, and a filter that is not one is found out."""

from dataclasses import replace

import numpy as np
import pytest

from tests.lengths import length
from trainer.bench.thresholds import seasons
from trainer.bench.thresholds.seasons import Plan, play
from trainer.bench.thresholds.study import Reached, days_of, parts_of, run_study
from trainer.bench.thresholds.words import reached_line
from trainer.bench.thresholds.worlds import EXACT, MESSY, World, day_of, learners_of
from trainer.progress.thresholds import Belief, after_answer

LEARNERS = length(60, full=90)
SEEDS = (41,)
SLACK = 0.05
"""How much fewer learners may miss a limit by, of the limit: the spread from seed to seed."""


def is_near(reached: Reached) -> bool:
    low = -np.inf if reached.low is None else reached.low - SLACK * abs(reached.low)
    high = np.inf if reached.high is None else reached.high + SLACK * abs(reached.high)
    return bool(low <= reached.value <= high)


@pytest.mark.parametrize(
    ("name", "seeds"), [("the messy world", (41,)), ("improvement", (41, 42, 43)), ("three kinds", (41,))]
)
def test_what_must_be_reached_is_reached(name: str, seeds: tuple[int, ...]) -> None:
    """Targets agreed before the filter was written, from other seeds and another program of the same worlds."""
    parts = [part for part in parts_of(LEARNERS) if part.name == name]
    days: list[None] = []
    found = list(run_study(parts, seeds=seeds, told=lambda: days.append(None)))
    assert len(days) == days_of(parts, seeds=seeds)
    assert len(found) >= 2
    assert sum(reached.is_kept is not None for reached in found) >= 2
    missed = [reached_line(reached) for reached in found if not is_near(reached)]
    assert not missed, "\n".join(missed)


def test_a_filter_that_learns_nothing_misses_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: answers thrown away, the study must notice."""

    def deaf(belief: Belief, **_: object) -> Belief:
        return belief

    monkeypatch.setattr(seasons, "after_answer", deaf)
    part = next(part for part in parts_of(20) if part.name == "the messy world")
    found = {reached.what: reached for reached in run_study([part], seeds=SEEDS)}
    assert found["error of T75, days 11-60, dB"].is_kept is False
    assert not is_near(found["within 1.5 dB on day 30"])


def test_a_filter_that_is_too_sure_of_itself_misses_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control for the intervals: every answer counted twice."""

    def sure(belief: Belief, **answer: object) -> Belief:
        return after_answer(after_answer(belief, **answer), **answer)  # type: ignore[arg-type]

    monkeypatch.setattr(seasons, "after_answer", sure)
    part = next(part for part in parts_of(30) if part.name == "the messy world")
    found = {reached.what: reached for reached in run_study([part], seeds=SEEDS)}
    assert found["90 % intervals hold the truth"].is_kept is False


def test_learners_name_their_t75_three_times_in_four_over_clips_and_both_ways() -> None:
    """By definition of T75; a simulation of the world's own answers against it."""
    rng = np.random.default_rng(5)
    learners = learners_of(MESSY, 60, rng)
    day = replace(day_of(learners, 10, rng), today=learners.ln_t75(10))
    band, rights = np.arange(60) % 10, []
    size_db = np.exp(day.true[np.arange(60), band])
    for _ in range(1500):
        asked = seasons.Asked(band, rng.choice((-1.0, 1.0), 60), 0, rng.standard_normal(60))
        rights.append(np.mean(day.rights(asked, size_db=size_db, dice=rng.random(60))))
    assert np.mean(rights) == pytest.approx(0.75, abs=0.005)


def test_in_the_exact_world_nobody_wobbles_and_in_a_messy_one_they_do() -> None:
    rng = np.random.default_rng(6)
    exact = day_of(learners_of(EXACT, 5, rng), 3, rng)
    messy = day_of(learners_of(MESSY, 5, rng), 3, rng)
    assert np.array_equal(exact.true, exact.today)
    assert 0.0 < np.max(np.abs(messy.true - messy.today)) < 0.6


def test_the_same_seed_gives_the_same_season() -> None:
    plan = Plan(World("small"), learners=4, days=3, a_day=5)
    one, again, other = play(plan, 1), play(plan, 1), play(plan, 2)
    assert np.array_equal(one.median_db, again.median_db)
    assert not np.array_equal(one.median_db, other.median_db)


@pytest.mark.parametrize(
    ("reached", "words"),
    [
        (Reached("error, dB", 0.7, high=0.8), "≤ 0.8: kept"),
        (Reached("bias", 0.2, -0.1, 0.1), "-0.1 to 0.1: missed"),
        (Reached("share", 0.9, low=0.8), "≥ 0.8: kept"),
    ],
)
def test_a_line_says_what_must_be_and_whether_it_is(reached: Reached, words: str) -> None:
    assert reached_line(reached).endswith(words)
    assert ":" not in reached_line(Reached("peer", 1.0))
