"""The keyboards against equal temperament, tuned bars as measured, and the decay of rosewood."""

import numpy as np
import pytest

from tests.ensemble.voices.notes import played
from tests.ensemble.voices.struck import centroid_hz, mono, peak_hz, t60_s
from trainer.ensemble.voices.keyboards import MOTOR_DEPTH, VOICES_OF_FAMILY, motor
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

VOICES = {voice.part: voice for voice in VOICES_OF_FAMILY}

PITCHES = {
    "marimba": (36, 48, 60, 72, 84, 96),
    "vibraphone": (53, 65, 77, 89),
    "xylophone": (65, 77, 89),
    "glockenspiel": (79, 91, 103),
}

PARTIALS = {
    "marimba": ((3.95, 4.05), (9.0, 10.5)),
    "vibraphone": ((3.95, 4.05), (9.0, 10.5)),
    "xylophone": ((2.95, 3.05), (5.7, 6.1)),
    "glockenspiel": ((2.68, 2.76), (5.15, 5.41)),
}


def notes(most: int = 12) -> list[tuple[str, int]]:
    return [(part, pitch) for part, pitches in PITCHES.items() for pitch in pitches[:most]]


@pytest.mark.parametrize(("part", "pitch"), notes())
def test_bars_are_in_tune(part: str, pitch: int) -> None:
    """ISO 16: A4 = 440 Hz, equal temperament; to 3 cents."""
    wanted_hz = midi_to_hz(pitch)
    found_hz = peak_hz(mono(played(VOICES[part], pitch)), wanted_hz, within=0.03)
    assert abs(1_200.0 * np.log2(found_hz / wanted_hz)) < 3.0


@pytest.mark.parametrize(("part", "pitch"), notes(3))
def test_partials_lie_where_real_bars_have_them(part: str, pitch: int) -> None:
    """HyperPhysics, "Vibrating bars": marimba and vibraphone 1:4:~10, xylophone 1:3:~6.

    The widths, and the glockenspiel's thick bars, as measured from the sampled instruments of FluidR3.
    """
    sound = mono(played(VOICES[part], pitch))
    fundamental_hz = midi_to_hz(pitch)
    for low, high in PARTIALS[part]:
        middle, half = 0.5 * (low + high), (high - low) / (high + low)
        ratio = (
            peak_hz(sound, fundamental_hz * middle, within=1.5 * half, from_s=0.01, for_s=0.3)
            / fundamental_hz
        )
        assert low <= ratio <= high


@pytest.mark.parametrize("pitch", [48, 60, 72, 84, 96])
def test_marimba_bars_ring_as_long_as_rosewood(pitch: int) -> None:
    """Rosewood's mean loss is 0.45 % (Hill and Errede, University of Illinois): T60 = 2.2 / (0.0045 f)."""
    frequency_hz = midi_to_hz(pitch)
    found_s = t60_s(mono(played(VOICES["marimba"], pitch)), frequency_hz, from_s=0.03, width_hz=60.0)
    assert found_s == pytest.approx(2.2 / (0.0045 * frequency_hz), rel=0.05)


def test_metal_rings_longer_than_wood() -> None:
    """Handbook knowledge, from memory: a vibraphone rings for seconds where a xylophone is dry."""
    metal, wood = (
        t60_s(mono(played(VOICES[part], 77)), midi_to_hz(77)) for part in ("vibraphone", "xylophone")
    )
    assert metal > 3.0
    assert wood < 1.0


@pytest.mark.parametrize(("part", "pitch"), [(p, k) for p, k in notes() if k < 96])
def test_harder_strokes_are_brighter(part: str, pitch: int) -> None:
    """Hertz: harder blows touch more briefly and reach higher partials; here by at least a quarter."""
    soft, hard = (
        np.mean([centroid_hz(mono(played(VOICES[part], pitch, level=level, variant=v))) for v in range(4)])
        for level in (0.3, 0.95)
    )
    assert hard / soft >= 1.25


def test_the_motor_turns_whole_turns_to_the_loop_about_four_times_a_second() -> None:
    """By construction of a loop: the swell at the end runs on into the swell at the start."""
    frames = 5 * RATE_HZ + 123
    swell = motor(np.ones((frames, 2), np.float32), np.random.default_rng(1))[:, 0]
    steps = np.abs(np.diff(swell))
    assert abs(swell[0] - swell[-1]) <= 1.01 * steps.max()
    level = np.abs(np.fft.rfft(swell - swell.mean()))
    assert int(np.argmax(level)) == round(4.1 * frames / RATE_HZ)
    assert swell.max() == pytest.approx(1.0, abs=1e-3)
    assert swell.min() == pytest.approx(1.0 - MOTOR_DEPTH, abs=1e-3)
