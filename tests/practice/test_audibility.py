"""The audibility gate: what is heard both ways is on offer, what is not is never asked."""

from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise

import numpy as np
import pytest

from tests.noise_show import STEM_BANDS_HZ, NoiseShow
from tests.signals import flat_spectrum_pink, sine
from trainer.dsp import excitation
from trainer.dsp.level import mix_of
from trainer.dsp.octave_bands import NOMINAL_HZ, OCTAVES, THIRD_NOMINAL_HZ, THIRD_OCTAVES
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.rooms import AS_RECORDED, DRY
from trainer.practice import audibility
from trainer.practice.audibility import is_heard, lanes, movable
from trainer.practice.change import MIX, Bell, Compression, Level, Stems
from trainer.practice.heard import MixListener, Shift, is_heard_at_all
from trainer.practice.listening import Listening
from trainer.sound import Sound

EXCERPT = NoiseShow().excerpt(2)
LAPTOP = Listening(usable_hz=NOMINAL_HZ[3:])


@lru_cache(maxsize=1)
def pink() -> Excerpt:
    """Return pink noise as an excerpt of two stems: a quiet one, and nearly all of it."""
    loud, quiet = (flat_spectrum_pink(duration_s=3.0, seed=seed).samples for seed in (1, 2))
    stems = {"marimba": loud, "sub": 0.001 * quiet}
    return Excerpt(
        "pink", 1, "pink", DRY, {key: Sound.of(np.repeat(line, 2, axis=1)) for key, line in stems.items()}
    )


@lru_cache(maxsize=1)
def quadrature() -> Excerpt:
    """Return two tones a quarter period apart, whose powers add: two thirds of it and one third."""
    tones = {"marimba": (2.0 / 3.0, 0.0), "vibraphone": (1.0 / 3.0, 90.0)}
    stems = {
        key: sine(
            frequency_hz=1000.0,
            duration_s=2.0,
            peak_dbfs=-20.0 + 10.0 * np.log10(power),
            phase_deg=phase_deg,
            channels=2,
        )
        for key, (power, phase_deg) in tones.items()
    }
    return Excerpt("tones", 1, "tones", DRY, stems)


def chords(**tones: dict[float, float]) -> Excerpt:
    """Return parts that are chords (hertz to power), each a part of a period later, so that their powers add."""
    phases_deg = iter((0.0, 90.0))

    def chord(powers: dict[float, float], phase_deg: float) -> Sound:
        each = [
            sine(
                frequency_hz=hertz,
                duration_s=2.0,
                peak_dbfs=-30.0 + 10.0 * np.log10(power),
                phase_deg=phase_deg,
                channels=2,
            )
            for hertz, power in powers.items()
        ]
        return mix_of(each)

    stems = {part: chord(powers, next(phases_deg)) for part, powers in tones.items()}
    return Excerpt("chords", 1, "chords", AS_RECORDED, stems)


def test_a_band_whose_neighbour_moves_much_more_is_heard_but_not_on_offer() -> None:
    """By hand: 30 % of the power at 2 kHz cut by 12 dB moves it 1.5 dB, and 1 kHz, alone, 2.5 dB with it.

    The bell an octave off its centre: Audio EQ Cookbook (W3C Note, 2021), H at w = 1/2, A = 10^(-12/40), Q = 1.41.
    """
    excerpt = chords(
        marimba={250.0: 1.0, 1000.0: 1.0, 2000.0: 0.3, 8000.0: 1.0}, vibraphone={2000.0: 0.7, 1500.0: 1.0}
    )
    offered = lanes(excerpt, "marimba", size_db=12.0)
    assert {250.0, 1000.0, 8000.0} <= set(offered)
    assert 2000.0 not in offered
    assert all(is_heard(Bell(1995.3, gain_db), excerpt, "marimba") for gain_db in (12.0, -12.0))
    assert 2000.0 in lanes(excerpt, MIX, size_db=12.0)


@pytest.mark.parametrize(("power", "looked_at"), [(0.0455, False), (0.0475, True)])
def test_a_target_is_looked_at_from_two_fifths_of_what_a_cut_needs(power: float, looked_at: bool) -> None:
    """By hand: to move the mix .5 dB a cut of 12 dB needs (1 - 10^-.05) / (1 - 10^-1.2) = .116 of its power."""
    high = dict.fromkeys((250.0, 1000.0, 4000.0), 1.0 - power)
    excerpt = chords(marimba=high, vibraphone=dict.fromkeys(high, power))
    lanes(excerpt, "vibraphone", size_db=12.0)
    assert ("vibraphone" in excerpt._heard_contributions) == looked_at


@pytest.mark.parametrize(
    ("frames", "by_db", "named"), [(10, 2.0, True), (9, 2.0, False), (12, 1.1, False), (13, 1.1, True)]
)
def test_a_bell_is_named_from_a_third_of_the_frames_and_half_a_decibel_in_the_long_term(
    frames: int, by_db: float, named: bool
) -> None:
    """Of thirty frames; by hand: 1.1 dB in 12 of them is .47 dB in the long term, in 13 .51 dB."""
    moved_db = np.zeros((1, 30, 2))
    moved_db[0, :frames, 0] = by_db
    plain = np.ones((30, 2))
    shift = Shift(plain, plain * 10.0 ** (moved_db / 10.0))
    own = np.array([True, False])
    assert audibility.is_named(shift, own, sign=1.0).tolist() == [named]
    assert audibility.is_named(shift, own, sign=-1.0).tolist() == [False]
    assert audibility.is_named(shift, ~own, sign=1.0).tolist() == [False]
    assert audibility.is_named(shift, own & False, sign=1.0).tolist() == [False]


@pytest.mark.parametrize(
    ("width_octaves", "low_hz", "high_hz"), [(1.0, 707.1, 1414.2), (1.0 / 3.0, 890.9, 1122.5)]
)
def test_a_bells_own_channels_lie_between_its_half_gain_points(
    width_octaves: float, low_hz: float, high_hz: float
) -> None:
    own, channels_hz = audibility.channels_of_bell(Bell(1000.0, 6.0, width_octaves)), excitation.channels_hz()
    assert own.tolist() == ((low_hz <= channels_hz) & (channels_hz < high_hz)).tolist()
    assert audibility.channels_of_bell(Bell(1000.0, 6.0, 0.01)).sum() == 1


def test_the_lanes_of_a_stem_are_the_bands_its_sound_lies_in() -> None:
    offered = {part: lanes(EXCERPT, part, size_db=9.0) for part in STEM_BANDS_HZ}
    assert sum(len(found) >= 3 for found in offered.values()) >= 3
    for part, found in offered.items():
        low_hz, high_hz = STEM_BANDS_HZ[part]
        assert all(low_hz / 2.0 < lane_hz < high_hz * 2.0 for lane_hz in found)


def test_in_the_mix_every_band_but_the_lowest_is_heard_from_3_db() -> None:
    assert lanes(pink(), MIX, size_db=3.0, listening=Listening(60.0)) == NOMINAL_HZ[1:]
    assert lanes(pink(), MIX, size_db=0.9) == ()
    assert lanes(pink(), MIX, size_db=12.0, listening=Listening(80.0)) == NOMINAL_HZ


def test_a_small_cut_at_31_hz_is_heard_when_it_is_played_loud() -> None:
    """The threshold of hearing at 31.5 Hz is 59.5 dB SPL (ISO 226:2023)."""
    at_db_spl = {
        level: 31.5 in lanes(pink(), MIX, size_db=3.0, listening=Listening(level)) for level in (55, 90)
    }
    assert at_db_spl == {55: False, 90: True}


def test_a_laptop_is_asked_about_what_it_plays() -> None:
    assert lanes(pink(), MIX, size_db=12.0, listening=LAPTOP) == NOMINAL_HZ[3:]
    assert lanes(pink(), MIX, size_db=0.0, listening=LAPTOP) == NOMINAL_HZ[3:]
    assert "sub" in movable(EXCERPT, EXCERPT.parts, size_db=6.0)
    assert "sub" not in movable(EXCERPT, EXCERPT.parts, size_db=6.0, listening=LAPTOP)


def test_who_does_not_hear_a_band_is_not_asked_about_it() -> None:
    deaf = Listening(thresholds_db_spl=(60.0, 38.0, 22.0, 11.0, 4.0, 2.0, -1.0, 70.0, 13.0, 40.0))
    heard = lanes(pink(), MIX, size_db=6.0, listening=deaf)
    assert 4000.0 not in heard
    assert {500.0, 1000.0, 16000.0} <= set(heard)


def test_at_size_zero_everything_is_on_offer() -> None:
    assert lanes(EXCERPT, "sub", size_db=0.0) == NOMINAL_HZ
    assert lanes(EXCERPT, "sub", size_db=0.0, bands=THIRD_OCTAVES) == THIRD_NOMINAL_HZ
    assert movable(EXCERPT, ("sub", "cymbals"), size_db=0.0) == ("sub", "cymbals")


def test_third_octaves_are_lanes_as_well() -> None:
    heard = lanes(pink(), MIX, size_db=6.0, bands=THIRD_OCTAVES)
    assert set(heard) <= set(THIRD_NOMINAL_HZ)
    assert {63.0, 100.0, 125.0, 630.0, 1000.0, 6300.0, 12500.0} <= set(heard)
    assert {25.0, 20000.0}.isdisjoint(heard)
    of_stem = lanes(EXCERPT, "marimba", size_db=12.0, bands=THIRD_OCTAVES)
    assert len(of_stem) >= 3
    assert all(150.0 < lane_hz < 1700.0 for lane_hz in of_stem)


def test_a_band_has_the_channels_that_lie_in_it_or_the_nearest() -> None:
    channels_hz = excitation.channels_hz()
    by_octave = audibility.channels_of(OCTAVES)
    assert sum(own.sum() for own in by_octave) == np.sum((channels_hz >= 22.387) & (channels_hz < 22387.2))
    for band, own in zip(OCTAVES, by_octave, strict=True):
        assert np.all((band.low_hz <= channels_hz[own]) & (channels_hz[own] < band.high_hz))
    by_third = audibility.channels_of(THIRD_OCTAVES)
    assert all(own.any() for own in by_third)
    assert channels_hz[by_third[1]] == pytest.approx([31.623], rel=1e-4)
    for band, own in zip(THIRD_OCTAVES, by_third, strict=True):
        assert np.all(np.abs(np.log2(channels_hz[own] / band.centre_hz)) < 0.25)


@pytest.mark.parametrize(("band", "octaves"), [(OCTAVES[3], 1.0), (THIRD_OCTAVES[12], 1.0 / 3.0)])
def test_a_bell_is_as_wide_as_its_band(band: object, octaves: float) -> None:
    assert audibility.width_octaves(band) == pytest.approx(octaves)  # type: ignore[arg-type]


def test_a_band_stands_out_where_no_other_moves_more_and_no_neighbour_much_more() -> None:
    """Each row a bell, by hand: 1.5 dB next door is as far as it may be, 1.0 two doors on."""
    moved_db = np.array(
        [
            [1.00, 1.49, 0.99, 0.0, 0.0],
            [1.51, 1.00, 0.00, 0.0, 0.0],
            [1.01, 0.00, 1.00, 0.0, 0.0],
            [0.00, 0.99, 1.49, 1.0, 1.49],
            [0.00, 0.00, 0.00, 1.6, 1.0],
        ]
    )
    assert audibility.stands_out(moved_db).tolist() == [True, False, False, True, False]


def test_only_what_is_heard_both_ways_is_on_offer() -> None:
    """Of a part with a third of the power, up 3 dB is 10 log10(4/3) = 1.25 dB, down 3 dB 10 log10(5/6) = -0.79 dB."""
    assert is_heard(Level(3.0), quadrature(), "vibraphone")
    assert not is_heard(Level(-3.0), quadrature(), "vibraphone")
    assert movable(quadrature(), ("marimba", "vibraphone"), size_db=3.0) == ("marimba",)
    assert movable(quadrature(), ("marimba", "vibraphone"), size_db=6.0) == ("marimba", "vibraphone")


def test_larger_moves_are_heard_wherever_smaller_ones_are() -> None:
    offered = [set(movable(EXCERPT, EXCERPT.parts, size_db=size_db)) for size_db in (1.0, 1.5, 3.0, 12.0)]
    assert offered == sorted(offered, key=len)
    assert all(small <= large for small, large in pairwise(offered))


def test_a_stem_that_is_drowned_cannot_be_asked_about() -> None:
    assert "sub" in movable(EXCERPT, EXCERPT.parts, size_db=6.0)
    sub = Level(-60.0).apply({"sub": EXCERPT.stems["sub"]})["sub"]
    buried = replace(EXCERPT, stems={**EXCERPT.stems, "sub": sub})
    assert "sub" not in movable(buried, EXCERPT.parts, size_db=6.0)
    assert lanes(buried, "sub", size_db=12.0) == ()


def test_what_is_not_looked_at_any_further_would_have_offered_too_few(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    quick = {part: lanes(EXCERPT, part, size_db=6.0) for part in EXCERPT.parts}
    monkeypatch.setattr(audibility, "DRY_MARGIN", 0.0)
    whole = {part: lanes(EXCERPT, part, size_db=6.0) for part in EXCERPT.parts}
    for part, found in quick.items():
        assert found == whole[part] or (found == () and len(whole[part]) < audibility.FEWEST_LANES)


def test_a_target_too_soft_before_the_room_is_not_put_through_it() -> None:
    fresh = replace(pink())
    assert lanes(fresh, "sub", size_db=12.0) == ()
    assert "sub" not in fresh._heard_contributions
    assert lanes(fresh, "marimba", size_db=12.0) != ()
    assert "marimba" in fresh._heard_contributions


@pytest.mark.parametrize(("frames", "heard"), [(0.15, False), (0.25, True)])
def test_a_gain_over_time_is_heard_from_a_fifth_of_the_frames(frames: float, heard: bool) -> None:
    gain_db = np.zeros(excitation.frames_in(pink().frames))
    gain_db[: round(frames * len(gain_db))] = -1.5
    listener = MixListener(pink(), Listening())
    assert is_heard_at_all(listener, listener.with_gain("marimba", gain_db=gain_db)) == heard
    assert not is_heard_at_all(listener, listener.with_gain("marimba", gain_db=0.0 * gain_db))


@pytest.mark.parametrize(
    ("process", "heard"),
    [(Bell(1000.0, 3.0), True), (Bell(1000.0, -3.0), True), (Bell(1000.0, 0.8), False), (Bell(31.6, -2.0), False),
     (Level(1.2), True), (Level(-1.2), True), (Level(-0.9), False), (Level(0.0), False),
     (Compression(0.0, 8.0, 0.001, 0.06), False)],
)  # fmt: skip
def test_a_process_on_the_mix_is_heard_from_a_decibel(process: object, heard: bool) -> None:
    assert is_heard(process, pink(), MIX) == heard  # type: ignore[arg-type]


def test_a_bell_is_heard_in_its_own_band_only() -> None:
    assert is_heard(Bell(63.1, 12.0), pink(), MIX)
    assert not is_heard(Bell(63.1, 12.0), pink(), MIX, listening=LAPTOP)
    assert is_heard(Bell(251.2, 12.0), pink(), MIX, listening=LAPTOP)


def test_a_bell_that_moves_only_what_lies_beside_its_band_is_not_heard_as_one() -> None:
    excerpt = chords(marimba={1000.0: 0.01, 1300.0: 1.0}, vibraphone={1000.0: 20.0})
    assert not is_heard(Bell(1000.0, 12.0, 1.0 / 3.0), excerpt, "marimba")
    assert is_heard(Bell(1300.0, 12.0, 1.0 / 3.0), excerpt, "marimba")
    assert is_heard(Bell(1000.0, 12.0, 1.0), excerpt, "marimba")


@dataclass(frozen=True)
class Louder:
    """A process the gate does not know."""

    gain_db: float

    def apply(self, stems: Stems) -> dict[str, Sound]:
        return Level(self.gain_db).apply(stems)


@dataclass(frozen=True)
class Inaudible(Louder):
    """A process with a rule of its own."""

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        return (excerpt.title, target, listening) == ("pink", "somewhere", LAPTOP)


@pytest.mark.parametrize("target", [MIX, "snare-line", "battery"])
@pytest.mark.parametrize("gain_db", [-3.0, 0.5, 3.0])
def test_a_process_the_gate_does_not_know_is_rendered_and_judged_alike(target: str, gain_db: float) -> None:
    assert is_heard(Louder(gain_db), EXCERPT, target) == is_heard(Level(gain_db), EXCERPT, target)


def test_what_a_process_adds_to_the_mix_is_what_its_target_contributes_more() -> None:
    """A stem twice as loud adds itself, in the room; a mix compressed as a whole is the mix through the compressor."""
    added = audibility.added_by(Louder(20.0 * np.log10(2.0)), EXCERPT, "snare-line")
    assert np.allclose(added.samples, EXCERPT.through_bus("snare-line").samples, atol=1e-5)
    compression = Compression(6.0, 8.0, 0.001, 0.06)
    through = compression.apply({MIX: EXCERPT.mix})[MIX]
    added = audibility.added_by(compression, EXCERPT, MIX)
    assert np.allclose(added.samples, through.samples - EXCERPT.mix.samples, atol=1e-6)


def test_a_process_with_a_rule_of_its_own_is_judged_by_it() -> None:
    assert not is_heard(Inaudible(12.0), pink(), MIX)
    assert is_heard(Inaudible(0.0), pink(), "somewhere", listening=LAPTOP)
