"""The check of a setup: its sounds are as loud as they claim, and only hearing them well below that counts."""

import numpy as np
import pytest

from trainer.dsp.loudness import true_peak_dbtp
from trainer.dsp.octave_bands import NOMINAL_HZ, band_powers_over_time, octave
from trainer.practice.setup_check import (
    CATCHES,
    FALL_S,
    MARGIN_DB,
    REST_S,
    RISE_DB,
    RISE_S,
    Trial,
    below_end_db,
    is_in_time,
    level_in_programme_db,
    sound_of,
    trials,
    verdict_of,
)
from trainer.sound import RATE_HZ, Sound

IEC_OCTAVES_DB = (-7.14, -2.32, -0.52, -0.03, 0.0, -0.13, -1.05, -3.64, -8.99, -17.35)
ALL = [Trial(what, band_hz) for band_hz in NOMINAL_HZ for what in ("tone", "noise")]
EARLY_S, LATE_S = 4.0, 7.5


def rms_dbfs(sound: Sound) -> float:
    """Return a channel's RMS re full scale 1.0."""
    return float(10.0 * np.log10(np.mean(np.square(sound.samples[:, 0].astype(np.float64)))))


def part(sound: Sound, begin_s: float, end_s: float) -> Sound:
    return Sound.of(sound.samples[round(begin_s * RATE_HZ) : round(end_s * RATE_HZ)])


def test_the_levels_of_the_bands_are_those_of_programme() -> None:
    """IEC 60268-1:1985, Table II, its third octaves summed to octaves, re 500 Hz."""
    levels = [level_in_programme_db(band_hz) for band_hz in NOMINAL_HZ]
    assert np.subtract(levels, levels[4]) == pytest.approx(IEC_OCTAVES_DB, abs=0.5)


@pytest.mark.parametrize("what", ["tone", "noise"])
@pytest.mark.parametrize("band_hz", [31.5, 250.0, 1000.0, 16000.0])
def test_a_sound_ends_at_the_bands_level_and_lies_in_the_band(what: str, band_hz: float) -> None:
    """Measured with the octave filters of IEC 61260-1, not with what made it."""
    sound = sound_of(Trial(what, band_hz), np.random.default_rng(1))  # type: ignore[arg-type]
    top = part(sound, RISE_S - 0.25, RISE_S)
    below = float(np.mean(below_end_db(np.linspace(RISE_S - 0.25, RISE_S, 50))))
    assert rms_dbfs(top) == pytest.approx(level_in_programme_db(band_hz) + below, abs=1.5)
    powers = np.mean(band_powers_over_time(part(sound, RISE_S - 3.0, RISE_S)), axis=0)
    assert NOMINAL_HZ[int(np.argmax(powers))] == band_hz
    assert powers.max() / powers.sum() > 0.8
    assert true_peak_dbtp(sound, loop=True) < -10.0


def test_it_rises_steadily_from_silence_and_rests_before_it_begins_again() -> None:
    sound = sound_of(Trial("tone", 1000.0), np.random.default_rng(1))
    assert sound.frames == round((RISE_S + FALL_S + REST_S) * RATE_HZ)
    levels = [rms_dbfs(part(sound, second, second + 0.5)) for second in range(1, 8)]
    assert np.diff(levels) == pytest.approx(np.full(6, RISE_DB / RISE_S), abs=0.2)
    assert np.max(np.abs(part(sound, RISE_S + FALL_S + 0.01, 10.0).samples)) == 0.0
    assert np.max(np.abs(np.diff(sound.samples[:, 0][: RATE_HZ // 10]))) < 1e-4
    assert not np.any(sound_of(Trial("silence", 0.0), np.random.default_rng(1)).samples)


def test_every_band_comes_as_tone_and_noise_with_silences_between_in_any_order() -> None:
    first, second = trials(np.random.default_rng(1)), trials(np.random.default_rng(2))
    assert len(first) == 2 * len(NOMINAL_HZ) + CATCHES
    assert {trial for trial in first if trial.what != "silence"} == set(ALL)
    assert first != second


def test_a_band_is_usable_where_both_its_sounds_are_heard_early_enough() -> None:
    heard: list[tuple[Trial, float | None]] = [(trial, EARLY_S) for trial in ALL]
    heard[0] = (heard[0][0], None)
    heard[3] = (heard[3][0], LATE_S)
    verdict = verdict_of([*heard, (Trial("silence", 0.0), None)])
    assert verdict.usable_hz == NOMINAL_HZ[2:]
    assert verdict.is_trustworthy


def test_who_hears_silence_is_not_to_be_trusted() -> None:
    verdict = verdict_of([*((trial, EARLY_S) for trial in ALL), (Trial("silence", 0.0), 3.0)])
    assert verdict.false_alarms == 1
    assert not verdict.is_trustworthy


@pytest.mark.parametrize(
    ("at_s", "in_time"),
    [(0.4, False), (2.0, True), (RISE_S * (1 - (MARGIN_DB + 1) / RISE_DB), True), (7.0, False), (9.5, False)],
)
def test_it_must_be_heard_ten_decibels_below_its_end(at_s: float, in_time: bool) -> None:
    assert is_in_time(at_s) == in_time


def test_the_tone_is_the_bands_exact_centre() -> None:
    """IEC 61260-1:2014, base 10: 1 kHz is exact, 31.5 Hz is 31.623 Hz."""
    assert octave(31.5).centre_hz == pytest.approx(31.6228, abs=1e-3)
    sound = sound_of(Trial("tone", 31.5), np.random.default_rng(1))
    spectrum = np.abs(np.fft.rfft(sound.samples[:, 0]))
    peak_hz = np.argmax(spectrum) * RATE_HZ / sound.frames
    assert peak_hz == pytest.approx(31.6228, abs=0.06)
