"""Reliability and item analysis, against published worked examples and independent code."""

import numpy as np
import pytest
from numpy.random import default_rng
from scipy.stats import binomtest, pearsonr

from trainer.progress.figures.item_analysis import (
    highest_correlation,
    item_figures,
    item_rest_correlations,
)
from trainer.progress.figures.reliability import alpha_interval, cronbach_alpha, kr20, standard_error

STUDENTS = (
    "1111110110", "1011011101", "1111011001", "0010001000", "0000010010",
    "1110111111", "1101110111", "1111111101", "0101111101", "1101101110",
)  # fmt: skip
WUENSCH = np.array([[int(mark) for mark in row] for row in STUDENTS], dtype=float)
"""K. L. Wuensch, East Carolina University, KR20.txt: ten students, ten items."""

ANSWERS = (
    "3224145143", "5546351255", "7535564336", "2343322266", "6556544467", "1223425235", "4335352124",
    "2544372246", "6255516523", "5246435317", "4135253234", "4423253423", "5556233244", "6555422146",
    "4435531323",
)  # fmt: skip
PINGOUIN = np.array([[int(score) for score in row] for row in ANSWERS], dtype=float)


def test_kr_20_of_wuenschs_worked_example() -> None:
    """KR20.txt: sum of p q 2.18, variance of the totals (n) 5.84, KR-20 .696347; n - 1 would give .7378."""
    shares = WUENSCH.mean(axis=0)
    assert WUENSCH.sum(axis=1).tolist() == [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
    assert float(np.sum(shares * (1 - shares))) == pytest.approx(2.18)
    assert float(np.var(WUENSCH.sum(axis=1))) == pytest.approx(5.84)
    found = kr20(WUENSCH)
    assert found == pytest.approx(0.696347, abs=5e-7)
    mixed = 10 / 9 * (1 - 2.18 / float(np.var(WUENSCH.sum(axis=1), ddof=1)))
    assert mixed == pytest.approx(0.7378, abs=5e-5), "the slip the example catches"


def test_item_rest_correlations_of_the_same_example() -> None:
    """Computed from KR20.txt's table with scipy, to four places."""
    expected = (0.7059, 0.7059, 0.0000, 0.4736, 0.5839, 0.2861, -0.0274, 0.7059, -0.1236, 0.4759)
    assert item_rest_correlations(WUENSCH) == pytest.approx(expected, abs=5e-5)
    totals = WUENSCH.sum(axis=1)
    uncorrected = [float(np.corrcoef(item, totals)[0, 1]) for item in WUENSCH.T]
    theirs = (0.7946, 0.7946, 0.2027, 0.6140, 0.7095, 0.4345, 0.1625, 0.7946, 0.0828, 0.6251)
    assert uncorrected == pytest.approx(theirs, abs=5e-5), "with itself in the total it would be this"


def test_alpha_and_its_interval_of_pingouins_bundled_data() -> None:
    """The data set "cronbach_alpha" of pingouin 0.7: documented alpha .591719, 95 % interval (.195, .840)."""
    learners, items = PINGOUIN.shape
    alpha = cronbach_alpha(PINGOUIN)
    assert alpha == pytest.approx(0.591719, abs=5e-7)
    interval = alpha_interval(alpha or 0.0, learners=learners, items=items, confidence=0.95)
    assert (interval.low, interval.high) == pytest.approx((0.195, 0.840), abs=5e-4)


@pytest.mark.parametrize("seed", range(8))
def test_alpha_and_correlations_agree_with_independent_code(seed: int) -> None:
    """Alpha from numpy's covariance matrix, and scipy's Pearson correlation, on random classes."""
    rng = default_rng(seed)
    learners, items = int(rng.integers(4, 40)), int(rng.integers(2, 31))
    worth = rng.choice([0.0, 0.2, 0.4, 0.5, 1.0], (learners, items)) + rng.standard_normal((learners, 1))
    together = np.cov(worth, rowvar=False)
    alpha = items / (items - 1) * (1.0 - np.trace(together) / np.sum(together))
    assert cronbach_alpha(worth) == pytest.approx(alpha)
    theirs = [
        pearsonr(worth[:, item], np.delete(worth, item, axis=1).sum(axis=1)).statistic
        for item in range(items)
    ]
    assert item_rest_correlations(worth) == pytest.approx(theirs)


def test_alpha_and_its_interval_agree_with_pingouin() -> None:
    """pingouin.cronbach_alpha on five random classes of credits, at 90 and 95 %; it rounds the interval to .001."""
    theirs = pytest.importorskip(
        "pingouin", reason="brings much with it: tried where it is installed"
    ).cronbach_alpha
    from pandas import DataFrame

    for seed in range(5):
        rng = default_rng(100 + seed)
        learners, items = int(rng.integers(5, 60)), int(rng.integers(2, 31))
        worth = rng.choice([0.0, 0.2, 0.5, 1.0], (learners, items)) + 0.3 * rng.standard_normal((learners, 1))
        for confidence in (0.90, 0.95):
            alpha, ends = theirs(data=DataFrame(worth), ci=confidence)
            assert cronbach_alpha(worth) == pytest.approx(alpha)
            found = alpha_interval(alpha, learners=learners, items=items, confidence=confidence)
            assert (found.low, found.high) == pytest.approx(tuple(ends), abs=6e-4)


def test_pingouins_bundled_data_are_the_ones_copied_here() -> None:
    reason = "brings much with it: tried where it is installed"
    read_dataset = pytest.importorskip("pingouin", reason=reason).read_dataset

    bundled = read_dataset("cronbach_alpha").pivot_table(index="Subj", columns="Items", values="Scores")
    assert np.array_equal(np.sort(bundled.to_numpy(), axis=None), np.sort(PINGOUIN, axis=None))
    assert sorted(map(sorted, bundled.to_numpy().tolist())) == sorted(map(sorted, PINGOUIN.tolist()))


def test_nine_in_ten_intervals_of_alpha_hold_the_true_one() -> None:
    """Feldt's interval is exact for items that share one ability and differ by normal error of one size.

    Alpha is then k s / (k s + e): 30 items, s = .1, e = .9 (its share of the variance of one item): .769.
    """
    rng, true = default_rng(4), 30 * 0.1 / (30 * 0.1 + 0.9)
    held = 0
    for _ in range(1000):
        ability = np.sqrt(0.1) * rng.standard_normal((24, 1))
        alpha = cronbach_alpha(ability + np.sqrt(0.9) * rng.standard_normal((24, 30)))
        held += alpha_interval(alpha or 0.0, learners=24, items=30).holds(true)
    assert binomtest(held, 1000, 0.90).pvalue > 0.001


@pytest.mark.parametrize("table", [np.ones((9, 5)), np.eye(2), np.ones((5, 1)), np.zeros((0, 4))])
def test_what_cannot_be_told_is_none(table: np.ndarray) -> None:
    assert cronbach_alpha(table) is None
    assert set(item_rest_correlations(table)) <= {None}


def test_a_score_is_good_to_its_deviation_times_the_root_of_what_is_not_reliable() -> None:
    """A textbook's example (from memory): deviation 15, reliability .91, standard error 4.5."""
    assert standard_error(15.0, 0.91) == pytest.approx(4.5)
    assert standard_error(15.0, -0.2) >= 15.0


CUTS = (-1.0, -0.6, -0.4, -0.2, 0.0, 0.3, 0.6, 0.9)


def test_odd_items_are_flagged_and_only_where_the_class_is_large_enough() -> None:
    rng = default_rng(2)
    ability = rng.standard_normal(200)
    good = [(ability + 0.3 * rng.standard_normal(200) > cut).astype(float) for cut in CUTS]
    odd = [np.ones(200), np.zeros(200), 1.0 - good[4], np.arange(200.0) % 2]
    table = np.array([*good, *odd]).T
    flags = [figure.flag for figure in item_figures(table, table)]
    assert flags[:8] == [""] * 8
    assert flags[8:11] == ["everybody had it right", "nobody had it right", "better ears did worse on it"]
    assert flags[11] == "hardly goes with the rest"
    assert {figure.flag for figure in item_figures(table[:9], table[:9])} == {""}


def test_a_correlations_upper_end_is_scipys() -> None:
    """scipy.stats.pearsonr(...).confidence_interval(0.9), which is Fisher's."""
    for seed in range(6):
        one, other = default_rng(seed).standard_normal((2, 5 + 7 * seed))
        found = pearsonr(one, one * (seed % 3 - 1) + other)
        theirs = found.confidence_interval(0.90).high
        assert highest_correlation(found.statistic, len(one)) == pytest.approx(theirs)
    assert (highest_correlation(0.1, 3), highest_correlation(1.0, 30), highest_correlation(-1.0, 30)) == (
        1,
        1,
        -1,
    )


def test_a_fair_quiz_is_not_called_odd() -> None:
    """Thirty items of one ability, each as telling as in a quiz of reliability .8, and classes of 24.

    Of items that discriminate as well as the threshold, .2, one in twenty may be called poor (by the interval);
    these are better: item against rest correlates at about .3.
    """
    called = 0
    for seed in range(30):
        rng = default_rng(seed)
        ability = np.sqrt(0.12) * rng.standard_normal((24, 1))
        rights = (ability + np.sqrt(0.88) * rng.standard_normal((24, 30)) > 0.0).astype(float)
        called += sum(bool(figure.flag) for figure in item_figures(rights, rights))
    assert called / 30 < 1.5, "a quiz, on average"


def test_an_items_difficulty_has_wilsons_interval() -> None:
    """Newcombe, Statistics in Medicine 17, 1998, Table I, method 3, is tested with `wilson`; here 8 of 10, 90 %."""
    (figure, _) = item_figures(np.ones((10, 2)), np.array([[1, 0]] * 8 + [[0, 0]] * 2))
    assert figure.difficulty.value == 0.8
    assert (figure.difficulty.interval.low, figure.difficulty.interval.high) == pytest.approx(
        (0.5408, 0.9314), abs=5e-4
    )
