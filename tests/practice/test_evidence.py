"""Evidence: it comes back from JSON whole, and what cannot be is refused."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import (
    WAYS,
    Evidence,
    Told,
    bands_of,
    evidence_from,
    in_quiz,
    is_named,
    plain_evidence,
    plain_told,
)

TONE = Evidence(
    "octave-tone/mix", 6.0, "dB", {500.0: 1.0}, named=True, among=(10.0, 2.0), direction=1,
    told={"band": Told(500.0, 500.0), "direction": Told("boost", "cut", ("boost", "cut"))},
)  # fmt: skip
DELAY = Evidence("delay/section", 20.0, "ms", {}, named=False, among=(4.0,))
THERE = Evidence("polarity/stem", None, "", {}, named=True, among=(3.0,))


@st.composite
def evidences(draw: st.DrawFn) -> Evidence:
    bands_hz = draw(st.lists(st.sampled_from(OCTAVE_SCALE.names_hz), unique=True, max_size=4))
    shares = [draw(st.floats(0.1, 1.0)) for _ in bands_hz]
    size = draw(st.floats(0.01, 60.0)) if bands_hz else draw(st.none() | st.floats(0.01, 60.0))
    simple = st.sampled_from(["boost", "cut", 500.0, 31.5])
    return Evidence(
        kind=draw(st.sampled_from(["octave-tone/mix", "level/stem", "sheet/section/missed"])),
        size=size,
        unit="dB" if bands_hz else draw(st.sampled_from(["dB", "ms", "%"])),
        bands={band_hz: share / sum(shares) for band_hz, share in zip(bands_hz, shares, strict=True)},
        named=draw(st.booleans()),
        among=tuple(draw(st.lists(st.floats(1.0, 30.0), min_size=1, max_size=3))),
        direction=draw(st.sampled_from([-1, 0, 1])),
        told=draw(
            st.dictionaries(
                st.sampled_from(["band", "direction"]),
                st.builds(Told, simple, st.none() | simple, st.lists(simple, max_size=3).map(tuple)),
            )
        ),
    )


@given(st.lists(evidences(), max_size=4))
def test_evidence_comes_back_from_json_as_it_was(evidence: list[Evidence]) -> None:
    texts = (json.dumps(plain(evidence), sort_keys=True) for plain in (plain_evidence, plain_told))
    again = evidence_from(*map(json.loads, texts))
    assert again == tuple(evidence)
    for mine, its in zip(again, evidence, strict=True):
        assert list(mine.bands) == list(its.bands)


@pytest.mark.parametrize(
    ("wrong", "needed"),
    [
        ({"kind": ""}, "a kind"),
        ({"kind": "/"}, "a kind"),
        ({"size": 0.0}, "a size above 0"),
        ({"size": -3.0}, "a size above 0"),
        ({"size": float("nan")}, "a size above 0"),
        ({"size": float("inf")}, "a size above 0"),
        ({"unit": "ms"}, "a size in dB"),
        ({"size": None}, "a size in dB"),
        ({"bands": {440.0: 1.0}}, "bands that are octave bands"),
        ({"bands": {630.0: 1.0}}, "bands that are octave bands"),
        ({"bands": {500.0: 0.5}}, "weights of bands that sum to 1"),
        ({"bands": {500.0: 1.5, 1000.0: -0.5}}, "weights of bands that sum to 1"),
        ({"among": ()}, "at least one answer"),
        ({"among": (0.5, 4.0)}, "at least one answer"),
        ({"direction": 2}, "a direction"),
        ({"start": 0.0}, "a start above 0"),
        ({"start": -1.0}, "a start above 0"),
    ],
)
def test_evidence_that_cannot_be_is_refused(wrong: dict[str, object], needed: str) -> None:
    with pytest.raises(ValueError, match=f"evidence needs {needed}"):
        replace(TONE, **wrong)  # type: ignore[arg-type]


def test_only_a_size_in_decibels_of_some_bands_is_of_the_lanes() -> None:
    assert [one.is_of_lanes for one in (TONE, DELAY, THERE, replace(TONE, bands={}))] == [
        True, False, False, False,
    ]  # fmt: skip


def test_what_is_left_out_says_nothing() -> None:
    assert (DELAY.direction, dict(DELAY.told), DELAY.start) == (0, {}, None)


def test_boost_and_up_go_one_way_and_cut_and_down_the_other() -> None:
    assert {word: WAYS[word] for word in ("boost", "up", "cut", "down")} == {
        "boost": 1,
        "up": 1,
        "cut": -1,
        "down": -1,
    }


def test_evidence_can_be_told_apart_in_a_set() -> None:
    assert len({TONE, replace(TONE), replace(TONE, size=3.0), THERE}) == 3


def test_the_chance_is_that_of_guessing_every_part() -> None:
    assert TONE.chance == pytest.approx(1 / 20)
    assert DELAY.chance == 0.25
    assert replace(THERE, among=(1.0,)).chance == 1.0


def test_the_kinds_of_a_quiz_are_their_own() -> None:
    kept = in_quiz((TONE, DELAY))
    assert [one.kind for one in kept] == ["octave-tone/mix/quiz", "delay/section/quiz"]
    assert replace(kept[0], kind=TONE.kind) == TONE


def test_bands_of_several_are_shared_the_strongest_first() -> None:
    """Worked by hand: 500 Hz has 1 + 1/4 of two whole changes, 2 kHz the rest; a delay has no part in it."""
    other = replace(TONE, bands={2000.0: 0.75, 500.0: 0.25})
    found = bands_of((TONE, other, DELAY))
    assert found == pytest.approx({500.0: 0.625, 2000.0: 0.375})
    assert list(found) == [500.0, 2000.0]
    assert list(bands_of((other,))) == [2000.0, 500.0]
    assert bands_of((DELAY,)) == bands_of(()) == {}


def test_all_must_be_named_and_there_must_be_some() -> None:
    assert is_named((TONE, THERE))
    assert not is_named((TONE, DELAY))
    assert not is_named(())


@pytest.mark.parametrize(
    "plain",
    [None, 3, [3], [{}], [{"kind": "x"}], "ab",
     [plain_evidence((TONE,))[0] | {"size": 0.0}], [plain_evidence((TONE,))[0] | {"bands": [[500.0]]}]],
)  # fmt: skip
def test_what_is_no_evidence_is_a_value_error(plain: object) -> None:
    with pytest.raises(ValueError, match=r"is no evidence|evidence needs|unpack"):
        evidence_from(plain)


@pytest.mark.parametrize("told", [3, [{"band": [1.0]}], [3], [{}, {}]])
def test_what_nobody_was_told_is_a_value_error(told: object) -> None:
    with pytest.raises(ValueError, match=r"nothing that was told|is no evidence|unpack"):
        evidence_from(plain_evidence((TONE,)), told)
