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
from trainer.practice.alignment import Crossover, Delay, PairedMicrophones
from trainer.practice.change import MIX, Change, Edit, changed_mix
from trainer.practice.listening import Listening
from trainer.practice.onsets import marked_onsets_per_s
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
