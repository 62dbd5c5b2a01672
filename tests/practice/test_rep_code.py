"""Rep codes: they come back whole, notice a slip, and show nothing of what they hold."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.exercise import SCOPES, Focus
from trainer.practice.rep_code import MOST_SEED, RepSpec, decode, encode
from trainer.refusal import Refused

SPECS = st.builds(
    RepSpec,
    exercise=st.sampled_from(["octave-tone", "level", "compression"]),
    show=st.sampled_from(["field-show", "our.own-show"]),
    seed=st.integers(0, MOST_SEED),
    focus=st.builds(
        Focus,
        size=st.integers(0, 60_000).map(lambda hundredths: hundredths / 100),
        scope=st.sampled_from([None, *SCOPES]),
        band_hz=st.sampled_from([None, *NOMINAL_HZ]),
        direction=st.sampled_from([None, 1, -1]),
        usable_hz=st.one_of(
            st.just(NOMINAL_HZ),
            st.sets(st.sampled_from(NOMINAL_HZ), min_size=3).map(lambda bands: tuple(sorted(bands))),
        ),
    ),
)


@given(SPECS)
def test_a_code_gives_its_spec_back(spec: RepSpec) -> None:
    assert decode(encode(spec)) == spec
    assert decode(f"  {encode(spec)}\n") == spec


def test_a_size_is_taken_to_the_hundredth_so_that_its_code_is_the_whole_truth() -> None:
    spec = RepSpec("level", "field-show", 1, Focus(size=6.1239))
    assert spec.focus.size == 6.12
    assert decode(encode(spec)) == spec


@given(SPECS, st.integers(0, 18), st.sampled_from("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"))
def test_one_wrong_letter_is_noticed(spec: RepSpec, place: int, letter: str) -> None:
    code = encode(spec)
    at = len(code) - 1 - place
    slipped = code[:at] + letter + code[at + 1 :]
    if code[at] not in (letter, "-"):
        with pytest.raises(Refused, match="mistyped"):
            decode(slipped)


@pytest.mark.parametrize(
    "code", ["", "octave-tone", "octave-tone.field-show", "a.b.c.", "x.y.AAAA-AAAA-AAAA-AAA1"]
)
def test_what_is_no_code_is_refused(code: str) -> None:
    with pytest.raises(Refused, match="rep code"):
        decode(code)


@pytest.mark.parametrize("seed", [-1, MOST_SEED + 1])
def test_a_seed_out_of_range_is_refused(seed: int) -> None:
    with pytest.raises(Refused, match=f"from 0 to {MOST_SEED}"):
        RepSpec("level", "field-show", seed, Focus(size=6.0))


def test_no_letter_of_a_code_goes_with_what_it_is_about() -> None:
    """Independence by the chi-squared test (Pearson 1900): letters against bands, 4000 codes, each place."""
    from scipy.stats import chi2_contingency

    rng = np.random.default_rng(5)
    bands = rng.integers(10, size=4000)
    codes = [
        encode(
            RepSpec("octave-tone", "s", int(rng.integers(MOST_SEED)), Focus(6.0, "mix", NOMINAL_HZ[band], 1))
        )
        for band in bands
    ]
    letters = np.array([list(code.rpartition(".")[2].replace("-", "")) for code in codes])
    p_values = []
    for place in range(letters.shape[1]):
        alphabet, column = np.unique(letters[:, place], return_inverse=True)
        table = np.zeros((10, len(alphabet)))
        np.add.at(table, (bands, column), 1)
        p_values.append(chi2_contingency(table).pvalue)
    assert len(p_values) == 16
    assert min(p_values) > 0.01 / 16


def test_only_a_code_of_a_setup_that_cannot_play_all_bands_is_longer() -> None:
    whole = RepSpec("level", "field-show", 7, Focus(6.0, "section", None, 1))
    confined = replace(whole, focus=replace(whole.focus, usable_hz=NOMINAL_HZ[3:]))
    letters, longer = (encode(spec).rpartition(".")[2].replace("-", "") for spec in (whole, confined))
    assert (len(letters), len(longer)) == (16, 20)
    assert decode(encode(confined)) == confined


def test_a_code_cut_short_anywhere_is_refused() -> None:
    code = encode(RepSpec("level", "field-show", 7, Focus(6.0, usable_hz=NOMINAL_HZ[3:])))
    for length in range(len("level.field-show."), len(code)):
        with pytest.raises(Refused, match="mistyped"):
            decode(code[:length].rstrip("-"))


@pytest.mark.parametrize(
    ("usable_hz", "said"),
    [
        (NOMINAL_HZ[:2], "2 usable octave bands are too few to ask about: it takes 3"),
        ((44.0, *NOMINAL_HZ[:3]), "not 44"),
    ],
)
def test_bands_that_cannot_be_asked_about_are_refused(usable_hz: tuple[float, ...], said: str) -> None:
    with pytest.raises(Refused, match=said):
        Focus(6.0, usable_hz=usable_hz)
