"""d′ among m alternatives against the tables."""

import pytest

from trainer.progress.figures.d_prime import d_prime_of, share_right

D_PRIMES = (0.5, 1.0, 1.5, 2.0, 3.0)
SHARES = {
    2: (0.6382, 0.7602, 0.8556, 0.9214, 0.9831),
    3: (0.4826, 0.6337, 0.7658, 0.8658, 0.9688),
    4: (0.3933, 0.5520, 0.7019, 0.8228, 0.9564),
    5: (0.3345, 0.4937, 0.6529, 0.7878, 0.9453),
    8: (0.2360, 0.3855, 0.5534, 0.7110, 0.9177),
    10: (0.1992, 0.3409, 0.5086, 0.6736, 0.9025),
}
AT_SHARES = (0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 0.95)
D_PRIMES_AT = {
    3: (0.557, 0.885, 1.238, 1.434, 1.652, 2.230, 2.710),
    4: (0.837, 1.153, 1.493, 1.682, 1.893, 2.452, 2.916),
    5: (1.019, 1.329, 1.661, 1.846, 2.053, 2.600, 3.055),
    8: (1.342, 1.641, 1.962, 2.141, 2.340, 2.869, 3.310),
    10: (1.475, 1.770, 2.087, 2.264, 2.461, 2.983, 3.418),
}


@pytest.mark.parametrize("alternatives", SHARES)
def test_the_share_right_is_that_of_the_tables(alternatives: int) -> None:
    """Hacker & Ratcliff, Perception & Psychophysics 26 (1979): 3 at d′ 1 gives .6337, 4 at 2 gives .8228.

    The other entries by quadrature and two million trials that agree with each other to 5e-4.
    """
    found = [share_right(d_prime, alternatives) for d_prime in D_PRIMES]
    assert found == pytest.approx(SHARES[alternatives], abs=5e-4)


@pytest.mark.parametrize("alternatives", D_PRIMES_AT)
def test_d_prime_is_that_of_the_tables(alternatives: int) -> None:
    """Green & Dai, Perception & Psychophysics 49 (1991), the same integral, solved for d′."""
    found = [d_prime_of(share, alternatives) for share in AT_SHARES]
    assert found == pytest.approx(D_PRIMES_AT[alternatives], abs=0.002)


def test_two_alternatives_are_the_root_of_two_times_the_deviate() -> None:
    """Closed form for m = 2: d′ = √2 z(share); z(.75) = 0.67449."""
    assert d_prime_of(0.75, 2) == pytest.approx(2**0.5 * 0.67449, abs=1e-3)
    assert share_right(0.0, 10) == pytest.approx(0.1, abs=1e-4)


@pytest.mark.parametrize("share", [0.05, 1.0])
def test_what_no_d_prime_explains_is_an_error(share: float) -> None:
    with pytest.raises(ValueError, match="below chance, or all"):
        d_prime_of(share, 10)
