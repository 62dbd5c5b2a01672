"""Console positions: chances to be the best against simulation and closed forms, seats against brute force."""

import itertools
import math
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.random import default_rng
from scipy.stats import binomtest, norm

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.ear_figures import EarFigures
from trainer.progress.figures.improvement import TooEarly
from trainer.progress.figures.smallest_changes import smallest_changes
from trainer.progress.thresholds.belief import BANDS, Belief, after_answer, first_belief, question_on
from trainer.season.positions import POSITIONS, chances_to_be_least, positions_of, seats_of


def heard(t75_db: float, *, low_end_db: float | None = None, sure: float = 0.1) -> Belief:
    """Return what is believed of an ear: the same T75 in every band but the low end's; bands hang together."""
    belief = first_belief()
    mean, covariance = belief.mean.copy(), belief.covariance * sure
    mean[BANDS] = math.log(t75_db)
    mean[:3] = math.log(low_end_db or t75_db)
    return Belief(mean, covariance)


def ear(belief: Belief, answers: float = 40.0, *, but: Mapping[float, float] | None = None) -> EarFigures:
    counts = dict.fromkeys(NOMINAL_HZ, answers) | dict(but or {})
    return EarFigures(smallest_changes(belief, counts), (), TooEarly(1, 1))


def named(beliefs: Mapping[str, Belief]) -> dict[str, str]:
    return {who: who.capitalize() for who in beliefs}


def pages(beliefs: Mapping[str, Belief]) -> list[str]:
    """Return every position's words."""
    ears = {who: ear(belief) for who, belief in beliefs.items()}
    return [page.words for page in positions_of(beliefs, ears, named(beliefs))]


def test_of_two_the_chance_is_that_of_their_difference() -> None:
    """P(X < Y) of independent normal values is Phi((y - x) / sqrt(s² + t²)): scipy's normal distribution."""
    for x, y, s, t in ((1.0, 1.2, 0.2, 0.1), (2.0, 1.5, 0.3, 0.02), (0.0, 0.0, 1.0, 0.001)):
        chances = chances_to_be_least(np.array([x, y]), np.array([s, t]))
        assert chances[0] == pytest.approx(norm.cdf((y - x) / math.hypot(s, t)), abs=1e-4)


@pytest.mark.parametrize("count", [1, 3, 40, 150])
def test_chances_sum_to_one_and_alike_ears_have_alike_chances(count: int) -> None:
    rng = default_rng(count)
    chances = chances_to_be_least(rng.normal(1.8, 0.3, count), rng.uniform(0.05, 0.4, count))
    assert np.sum(chances) == pytest.approx(1.0, abs=1e-4)
    assert chances_to_be_least(np.full(count, 2.0), np.full(count, 0.1)) == pytest.approx([1 / count] * count)


def test_chances_are_those_of_a_simulation() -> None:
    """How often each of seven normal values was the least of 20 000 draws."""
    rng, count = default_rng(7), 20_000
    means, deviations = rng.normal(1.8, 0.2, 7), rng.uniform(0.05, 0.3, 7)
    chances = chances_to_be_least(means, deviations)
    least = np.argmin(means + deviations * rng.standard_normal((count, 7)), axis=1)
    for who, chance in enumerate(chances):
        assert binomtest(int(np.sum(least == who)), count, min(1.0, float(chance))).pvalue > 0.001


def test_the_interval_is_that_of_the_mean_over_the_bands() -> None:
    """Against draws of the whole state: the mean of ln T75 over the low end's bands, nine in ten within."""
    belief = heard(6.0)
    for _ in range(8):
        belief = after_answer(
            belief, question=question_on(np.eye(10)[1], direction=1), size_db=4.0, right=True
        )
    page = positions_of({"heron": belief}, {"heron": ear(belief)}, {"heron": "Heron"})[0]
    (candidate,) = page.candidates
    draws = (
        default_rng(1).multivariate_normal(belief.mean[:3], belief.covariance[:3, :3], 40_000).mean(axis=1)
    )
    assert candidate.t75_db == pytest.approx(math.exp(np.mean(draws)), rel=0.01)
    ends = candidate.interval.low, candidate.interval.high
    assert ends == pytest.approx(np.exp(np.quantile(draws, (0.05, 0.95))).tolist(), rel=0.02)


def test_who_hears_it_best_is_said_with_the_chance() -> None:
    beliefs = {"heron": heard(8.0, low_end_db=3.0), "dunlin": heard(5.0), "avocet": heard(9.0)}
    words = pages(beliefs)
    assert words[0].startswith("Heron hears low end and subs best, with a chance of ")
    assert all(said.startswith("Dunlin hears ") for said in words[1:])


def test_too_close_to_tell_is_said_and_between_whom() -> None:
    alike = {who: heard(5.0) for who in ("heron", "dunlin")}
    assert pages(alike)[0].startswith("Too close to tell between Dunlin and Heron.")
    assert pages(alike | {"avocet": heard(12.0)})[0].startswith("Too close to tell between Dunlin and Heron.")
    many = {f"bird {number}": heard(5.0) for number in range(9)}
    assert pages(many)[0].startswith("Too close to tell between Bird 0, Bird 1, Bird 2 and others.")


def test_whoever_it_is_too_early_to_tell_of_is_left_out() -> None:
    beliefs = {"heron": heard(6.0), "dunlin": heard(3.0), "avocet": heard(2.0)}
    ears = {
        "heron": ear(beliefs["heron"]),
        "dunlin": ear(beliefs["dunlin"], 1.0),
        "avocet": ear(beliefs["avocet"], but={31.5: 0.0}),
    }
    found = positions_of(beliefs, ears, named(beliefs))
    assert [one.name for one in found[0].candidates] == ["Heron"]
    assert found[0].words.startswith("Heron is the only one known well enough for low end and subs.")
    assert [one.name for one in found[1].candidates] == ["Avocet", "Heron"]
    (nobody, *_) = positions_of({}, {}, {})
    assert (nobody.candidates, nobody.words) == ((), "Too early to tell of anybody.")


def test_one_place_for_each_is_said_where_somebody_is_the_best_at_several() -> None:
    beliefs = {
        "heron": heard(3.0, low_end_db=2.0),
        "dunlin": heard(5.0, low_end_db=9.0),
        "avocet": heard(8.0),
    }
    words = pages(beliefs)
    assert all(said.startswith("Heron hears ") for said in words)
    seats = [said.partition("With one place for each, ")[2].removesuffix(" sits here.") for said in words]
    assert sorted(filter(None, seats)) == ["Avocet", "Dunlin", "Heron"]


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_seats_are_the_best_of_all_ways_to_seat_everybody(data: st.DataObject) -> None:
    """Brute force: every way to seat up to five people at three places."""
    people = [f"bird {number}" for number in range(data.draw(st.integers(1, 5)))]
    means = [
        data.draw(st.dictionaries(st.sampled_from(people), st.floats(0.7, 2.7), min_size=0)) for _ in range(3)
    ]
    seats = seats_of(means)
    taken = [who for who in seats if who]
    assert len(taken) == len(set(taken))
    ways = set(itertools.permutations([*people, "", "", ""], 3))
    fit = [way for way in ways if all(not who or who in one for who, one in zip(way, means, strict=True))]
    unseated, least = min((-sum(map(bool, way)), cost(way, means)) for way in fit)
    assert len(taken) == -unseated
    assert cost(seats, means) == pytest.approx(least)


def cost(way: tuple[str, ...], means: list[dict[str, float]]) -> float:
    return sum(one[who] for who, one in zip(way, means, strict=True) if who)


def test_positions_listen_for_octave_bands_and_together_for_every_one() -> None:
    assert {band_hz for position in POSITIONS for band_hz in position.bands_hz} == set(NOMINAL_HZ)
    assert len({position.title for position in POSITIONS}) == len(POSITIONS)
