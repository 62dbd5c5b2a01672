"""Late parts, pairs of microphones and crossovers: what they do to a sound, and when they are heard."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tests.noise_show import NoiseShow
from tests.signals import impulse, pink_noise
from trainer.dsp.delay import delayed
from trainer.dsp.level import gain, rms_db
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.rooms import DRY
from trainer.practice.alignment import ONSETS_PER_S, Crossover, Delay, PairedMicrophones, moves_one_way
from trainer.practice.change import MIX, Change, Edit, changed_mix
from trainer.practice.listening import Listening
from trainer.practice.onsets import marked_onsets_per_s, onsets_in
from trainer.sound import RATE_HZ, Sound

NOISE = NoiseShow().excerpt(1)


ALL = Listening()


def hits(every_s: float, *, start_s: float = 0.0, seed: int = 1, level_db: float = 0.0) -> Sound:
    """Return six seconds of short bursts of noise, one every so often, over silence."""
    noise = pink_noise(duration_s=6.0, seed=seed, channels=2, rms_dbfs=-20.0 + level_db).samples
    since_s = (np.arange(len(noise)) / RATE_HZ - start_s) % every_s
    return Sound.of(noise * np.exp(-since_s / 0.03)[:, None])


def hold(seed: int = 2, *, level_db: float = 0.0) -> Sound:
    """Return six seconds of steady noise."""
    return pink_noise(duration_s=6.0, seed=seed, channels=2, rms_dbfs=-20.0 + level_db)


def of(**stems: Sound) -> Excerpt:
    return Excerpt("made", 1, "made", DRY, {key.replace("_", "-"): sound for key, sound in stems.items()})


# A late part


def test_thirty_yards_are_eighty_milliseconds() -> None:
    """27.432 m at 343.2 m/s (ISO 9613-1 at 20 °C): 79.93 ms."""
    assert Delay.over(27.432, temperature_c=20.0).delay_s == pytest.approx(0.07993, abs=2e-5)


def test_a_late_section_is_late_and_nothing_else_is() -> None:
    late = changed_mix(Change((Edit("battery", Delay(0.05)),)), NOISE)
    expected = NOISE.mix_with(
        {
            part: Sound(np.roll(NOISE.stems[part].samples, 2400, axis=0))
            for part in ("snare-line", "bass-drum-line")
        }
    )
    assert np.max(np.abs(late.samples - expected.samples)) < 1e-6


def test_a_late_part_keeps_its_level() -> None:
    stem = NOISE.stems["trumpets"]
    assert rms_db(Delay(0.0421347).apply({"a": stem})["a"]) == pytest.approx(rms_db(stem), abs=1e-3)


@pytest.mark.parametrize(("delay_s", "is_heard"), [(0.0, False), (0.0279, False), (0.028, True), (0.1, True)])
def test_a_delay_is_heard_from_what_is_just_noticed_on(delay_s: float, is_heard: bool) -> None:
    """28 ms: the mean just noticeable late displacement in a band of several instruments (PsyArXiv jsg94, v3)."""
    excerpt = of(snare_line=hits(0.5), trumpets=hits(0.5, start_s=0.25, seed=3))
    assert Delay(delay_s).is_heard(excerpt, "snare-line", ALL) is is_heard


@pytest.mark.parametrize(
    ("own", "other", "is_heard"),
    [
        (hits(0.5), hits(0.5, start_s=0.25, seed=3), True),
        (hold(), hits(0.5), False),  # nothing in a held note marks the time
        (hits(0.5), hold(), False),  # late, but against nobody
        (hits(3.0), hits(0.5, start_s=0.25, seed=3), False),  # one hit in three seconds
        (hits(0.5, level_db=-30.0), hits(0.5, seed=3), False),  # under the others' own hits
    ],
    ids=["hits", "held", "alone", "rare", "buried"],
)
def test_a_delay_is_heard_where_both_sides_mark_the_time(own: Sound, other: Sound, is_heard: bool) -> None:
    assert Delay(0.08).is_heard(of(snare_line=own, trumpets=other), "snare-line", ALL) is is_heard


@pytest.mark.parametrize("every_s", [0.25, 0.5, 1.0])
def test_onsets_are_counted(every_s: float) -> None:
    """As many a second as were made, of the part and of the others."""
    excerpt = of(snare_line=hits(every_s), trumpets=hits(0.75, start_s=0.1, seed=3))
    rate = marked_onsets_per_s(excerpt, "snare-line", usable_hz=NOMINAL_HZ)
    assert rate.target == pytest.approx(1.0 / every_s, abs=0.4)
    assert rate.others == pytest.approx(1.0 / 0.75, abs=0.5)


def test_onsets_in_bands_that_cannot_be_played_do_not_count() -> None:
    excerpt = of(snare_line=hits(0.5), trumpets=hits(0.5, start_s=0.25, seed=3))
    assert marked_onsets_per_s(excerpt, "snare-line", usable_hz=(31.5, 63.0)).target == 0.0


def steps(*powers: float, hops: int = 40) -> np.ndarray:
    """Return powers of one band by hop: these, and the last of them for what is left."""
    return np.array([*powers, *[powers[-1]] * (hops - len(powers))])[:, None]


QUIET = steps(1.0)
LOW = np.array([0.5])


@pytest.mark.parametrize(
    ("part", "others", "count"),
    [
        (steps(*[1.0] * 10, 4.0, *[1.0] * 20), QUIET, 1),  # 6 dB up is an onset
        (steps(*[1.0] * 10, 3.9, *[1.0] * 20), QUIET, 0),  # a little less is none
        (steps(*[1.0] * 10, 2.0, 4.0, *[1.0] * 20), QUIET, 1),  # within 20 ms
        (steps(*[1.0] * 10, 2.0, 2.0, 4.0, *[1.0] * 20), QUIET, 0),  # not within 30
        (steps(*[1.0] * 4, 4.0, *[1.0] * 5, 4.0, *[1.0] * 20), QUIET, 1),  # no new one 60 ms after one as loud
        (steps(*[1.0] * 4, 4.0, *[1.0] * 6, 4.0, *[1.0] * 20), QUIET, 2),  # but 70 ms after
        (steps(*[1.0] * 4, 4.0, *[1.0] * 4, 16.0, *[1.0] * 20), QUIET, 2),  # or 50 ms after one 6 dB softer
        (steps(*[1.0] * 4, 4.0, *[1.0] * 3, 16.0, *[1.0] * 20), QUIET, 1),  # 40 ms after it is the same
        (steps(*[1.0] * 10, 4.0, *[1.0] * 20), steps(4.0), 1),  # as loud as the others: stands out
        (steps(*[1.0] * 10, 4.0, *[1.0] * 20), steps(4.1), 0),
        (steps(*[1.0] * 10, 4.0, *[1.0] * 20), steps(*[1.0] * 8, 9.0, *[1.0] * 20), 0),  # 20 ms after a louder one
        (steps(*[1.0] * 10, 4.0, *[1.0] * 20), steps(*[1.0] * 7, 9.0, *[1.0] * 20), 1),  # 30 ms after
        (steps(4.0, *[1.0] * 39), QUIET, 1),  # a loop begins after its own end
        (steps(4.0, *[1.0] * 37, 4.0, 1.0), QUIET, 1),
        (0.1 * steps(*[1.0] * 10, 5.0, *[1.0] * 20), 0.1 * QUIET, 1),  # as loud as the floor
        (0.1 * steps(*[1.0] * 10, 4.9, *[1.0] * 20), 0.1 * QUIET, 0),  # too faint
        (QUIET, QUIET, 0),
    ],
)  # fmt: skip
def test_onsets_by_hand(part: np.ndarray, others: np.ndarray, count: int) -> None:
    """By the rule's own words, hops of 10 ms; the rule is ours."""
    assert onsets_in(part, others, floor=LOW) == count


def test_an_onset_in_one_band_is_enough_and_in_two_is_one() -> None:
    hit, none = steps(*[1.0] * 10, 9.0, *[1.0] * 20), QUIET
    for bands in ((hit, none), (none, hit), (hit, hit)):
        part = np.concatenate(bands, axis=1)
        assert onsets_in(part, np.ones_like(part), floor=np.array([0.5, 0.5])) == 1


def test_what_is_fainter_than_a_thousandth_of_the_mix_is_no_onset() -> None:
    """Hits 25 dB under a hold in the same band before they begin, 35 dB: heard and not, where nothing else sounds."""
    loud = hold().samples * (np.arange(288_000) < 144_000)[:, None]
    late = (np.arange(288_000) >= 168_000)[:, None]
    rates = [
        marked_onsets_per_s(
            of(snare_line=Sound.of(hits(0.5, level_db=level_db).samples * late), trumpets=Sound.of(loud)), "snare-line",
            usable_hz=NOMINAL_HZ,
        ).target
        for level_db in (-22.0, -38.0)
    ]  # fmt: skip
    assert rates[0] > 0.5
    assert rates[1] == 0.0


def test_the_octave_of_250_hz_is_the_lowest_that_is_looked_at() -> None:
    """In 20 ms there are five waves of 250 Hz, and two and a half of 125 Hz."""
    excerpt = of(snare_line=hits(0.5), trumpets=hits(0.5, start_s=0.25, seed=3))
    assert marked_onsets_per_s(excerpt, "snare-line", usable_hz=(63.0, 125.0, 250.0)).target > 1.0
    assert marked_onsets_per_s(excerpt, "snare-line", usable_hz=(31.5, 63.0, 125.0)).target == 0.0


def test_one_onset_in_two_seconds_is_enough() -> None:
    assert ONSETS_PER_S == 0.5
    excerpt = of(snare_line=hits(2.0), trumpets=hits(2.0, start_s=1.0, seed=3))
    rate = marked_onsets_per_s(excerpt, "snare-line", usable_hz=NOMINAL_HZ)
    assert (rate.target, rate.others) == (0.5, 0.5)
    assert Delay(0.08).is_heard(excerpt, "snare-line", ALL)


# What an inverted path moves


def powers(*bands: list[float]) -> np.ndarray:
    return np.array(bands).T


STEADY = powers([1.0] * 6, [1.0] * 6, [50.0] * 6)
UP, DOWN, LITTLE = 10.0**0.101, 10.0**-0.101, 10.0**0.099


@pytest.mark.parametrize(
    ("moved", "is_heard"),
    [
        ([UP, UP, 1.0, 1.0, 1.0, 1.0], True),  # a third of the windows
        ([UP, 1.0, 1.0, 1.0, 1.0, 1.0], False),
        ([DOWN, DOWN, 1.0, 1.0, 1.0, 1.0], True),
        ([UP, DOWN, 1.0, 1.0, 1.0, 1.0], False),  # two ways by chance
        ([LITTLE] * 6, False),
        ([0.0] * 6, True),
    ],
)
def test_a_band_moves_by_a_decibel_one_way_in_a_third_of_the_windows(
    moved: list[float], is_heard: bool
) -> None:
    """By hand: 1.01 dB is 10^.101; the third band, 17 dB up, keeps the whole mix where it is within .03 dB."""
    after = STEADY * powers(moved, [1.0] * 6, [1.0] * 6)
    after[:, 2] += STEADY.sum(axis=1).mean() - after.sum(axis=1).mean()
    assert moves_one_way(STEADY, after).tolist() == [is_heard, False, False]


def test_three_windows_of_ten_are_too_few() -> None:
    after = powers([UP] * 3 + [1.0] * 7, [50.0] * 10)
    assert not moves_one_way(powers([1.0] * 10, [50.0] * 10), after).any()


def test_a_gain_of_everything_moves_nothing() -> None:
    assert not moves_one_way(STEADY, 0.01 * STEADY).any()
    assert not moves_one_way(0.0 * STEADY, 0.0 * STEADY).any()


@pytest.mark.parametrize(("share", "is_heard"), [(1.01e-4, True), (0.99e-4, False)])
def test_a_band_forty_decibels_down_is_not_heard(share: float, is_heard: bool) -> None:
    """Its greater power of the two counts: a ten-thousandth of the mean power of the mix."""
    before = powers([share / 2] * 6, [1.0] * 6)
    after = powers([share] * 6, [1.0] * 6)
    assert moves_one_way(before, after)[0] == is_heard


# Two microphones


def response(pair: PairedMicrophones | Crossover) -> np.ndarray:
    """Return the spectrum of an impulse through both paths, a bin a hertz."""
    return np.fft.rfft(pair.apply({MIX: impulse(frames=RATE_HZ)})[MIX].samples[:, 0].astype(np.float64))


def test_two_microphones_make_a_comb_of_the_way_between_them() -> None:
    """Y = x + g x(t - d): with g = 1/2 the peaks stand 3.52 dB over x and the notches 6.02 dB under it, peaks at
    k / d in phase, notches there inverted (common handbook values); 0.3432 m are 1 ms at 20 °C.
    """
    pair = PairedMicrophones(near_m=0.3432, far_m=0.6864)
    scale_db = 10.0 * np.log10(1.25)
    for is_inverted, at_peaks_db, between_db in ((False, 3.52, -6.02), (True, -6.02, 3.52)):
        level_db = 20.0 * np.log10(np.abs(response(replace(pair, is_inverted=is_inverted)))) + scale_db
        assert_allclose(level_db[[1000, 2000, 3000]], at_peaks_db, atol=0.02)
        assert_allclose(level_db[[500, 1500, 2500]], between_db, atol=0.02)


def test_one_place_for_both_microphones_is_a_gain_or_silence() -> None:
    """Equal paths: identical signals sum to +6.02 dB less the 3.01 of the pair's own scale; inverted to nothing."""
    pair = PairedMicrophones(near_m=1.0, far_m=1.0)
    stem = NOISE.stems["trumpets"]
    assert rms_db(pair.apply({"a": stem})["a"]) - rms_db(stem) == pytest.approx(3.0103, abs=1e-3)
    assert not replace(pair, is_inverted=True).apply({"a": stem})["a"].samples.any()


def test_over_all_frequencies_a_pair_keeps_the_level_of_its_target() -> None:
    """Over noise, peaks and notches even out, in phase or inverted: the power is that of strange sounds."""
    noise = pink_noise(duration_s=10.0, seed=4)
    high = Sound.of(np.diff(noise.samples, axis=0, prepend=noise.samples[-1:]))
    for is_inverted in (False, True):
        made = PairedMicrophones(1.0, 3.0, is_inverted).apply({"a": high})["a"]
        assert rms_db(made) == pytest.approx(rms_db(high), abs=0.1)


def test_warm_air_brings_the_far_microphone_sooner() -> None:
    """10 m at 0 and 35 °C: 30.18 and 28.42 ms (331.3 sqrt(1 + t / 273.15) m/s)."""
    for temperature_c, late_ms in ((0.0, 30.184), (35.0, 28.418)):
        pair = PairedMicrophones(near_m=10.0, far_m=20.0, temperature_c=temperature_c)
        made = pair.apply({MIX: impulse(frames=RATE_HZ)})[MIX]
        far = Sound(made.samples * np.sqrt(np.float32(1.25)) * 2.0 - 2.0 * impulse(frames=RATE_HZ).samples)
        assert (
            np.max(np.abs(far.samples - delayed(impulse(frames=RATE_HZ), delay_s=late_ms / 1000.0).samples))
            < 0.03
        )


@pytest.mark.parametrize(("near_m", "far_m"), [(0.0, 1.0), (2.0, 1.0), (-1.0, 1.0)])
def test_microphones_that_cannot_stand_so_are_refused(near_m: float, far_m: float) -> None:
    with pytest.raises(ValueError, match="at most as far"):
        PairedMicrophones(near_m, far_m)


CLOSE = PairedMicrophones(near_m=0.5, far_m=0.6, is_inverted=True)


def test_an_inverted_microphone_is_heard_where_its_part_is() -> None:
    """Ten centimeters apart and nearly as loud, the low end goes: plainly heard, but not on a part 50 dB down."""
    excerpt = of(trumpets=hold(), tubas=hold(5))
    assert CLOSE.is_heard(excerpt, "trumpets", ALL)
    assert CLOSE.is_heard(excerpt, MIX, ALL)
    assert not CLOSE.is_heard(of(trumpets=gain(hold(), gain_db=-50.0), tubas=hold(5)), "trumpets", ALL)


def test_a_pair_in_phase_is_no_fault() -> None:
    assert not replace(CLOSE, is_inverted=False).is_heard(of(trumpets=hold(), tubas=hold(5)), "trumpets", ALL)


def test_a_far_microphone_that_adds_next_to_nothing_is_not_heard() -> None:
    """30 m beside half a meter is 36 dB softer: peaks and notches of a seventh of a dB."""
    assert not PairedMicrophones(0.5, 30.0, is_inverted=True).is_heard(
        of(trumpets=hold(), tubas=hold(5)), MIX, ALL
    )


def test_what_the_whole_mix_does_is_taken_off() -> None:
    """Half a millimeter between them is 1.5 µs: inverted, all bands of the mix go down by 9.5 dB alike (1/2 for 3/2),
    and played at one loudness nothing of it is left to hear.
    """
    one_place = PairedMicrophones(near_m=0.0005, far_m=0.001, is_inverted=True)
    made, even = (replace(one_place, is_inverted=way).apply({MIX: hold()})[MIX] for way in (True, False))
    assert rms_db(made) - rms_db(even) == pytest.approx(-9.5, abs=0.1)
    assert not one_place.is_heard(of(trumpets=hold()), MIX, ALL)
    assert CLOSE.is_heard(of(trumpets=hold()), MIX, ALL)


# A crossover


@pytest.mark.parametrize("crossover_hz", [100.0, 1000.0])
def test_a_crossover_is_even_in_phase_and_has_a_null_inverted(crossover_hz: float) -> None:
    """Linkwitz–Riley, fourth order: the sum is an all-pass within 0.01 dB, the difference a null where they cross."""
    even_db = 20.0 * np.log10(np.abs(response(Crossover(crossover_hz))))
    assert_allclose(even_db[20:20_000], 0.0, atol=0.01)
    assert np.abs(response(Crossover(crossover_hz, is_inverted=True)))[round(crossover_hz)] < 1e-3


def test_a_crossover_loops_without_a_seam() -> None:
    """On a tone of whole cycles the loop's start is as even as its middle: filters that began cold would ring."""
    time_s = np.arange(RATE_HZ) / RATE_HZ
    tone = Sound.of(0.5 * np.sin(2.0 * np.pi * 60.0 * time_s))
    made = Crossover(100.0).apply({MIX: tone})[MIX].samples[:, 0]
    assert_allclose(made[: RATE_HZ // 2], made[RATE_HZ // 2 :], atol=1e-4)


def test_an_inverted_path_is_heard_on_the_mix_but_not_where_nothing_sounds() -> None:
    assert Crossover(500.0, is_inverted=True).is_heard(NOISE, MIX, ALL)
    assert not Crossover(500.0).is_heard(NOISE, MIX, ALL)
    assert not Crossover(500.0, is_inverted=True).is_heard(
        NOISE, MIX, Listening(usable_hz=(31.5, 8000.0, 16000.0))
    )
    assert not Crossover(100.0, is_inverted=True).is_heard(NOISE, "cymbals", ALL)
