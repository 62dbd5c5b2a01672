"""The mixdown against sums written out, and its table against the ensemble's."""

import numpy as np
import pytest

from trainer.ensemble.mixdown import STRIPS, Strip, bus, held, placement_of
from trainer.ensemble.parts import PART_BY_KEY
from trainer.ensemble.rooms import AS_RECORDED, GYM, reverberate
from trainer.ensemble.voices.voice import Audio
from trainer.sound import Sound
from trainer.units import db_to_ratio


def noise_stems(*parts: str, frames: int = 72_000) -> dict[str, Sound]:
    rng = np.random.default_rng(5)
    noise = {part: 0.03 * rng.standard_normal((frames, 2)) for part in parts}
    return {part: Sound((sound - sound.mean(axis=0)).astype(np.float32)) for part, sound in noise.items()}


def placed(samples: Audio, strip: Strip) -> Sound:
    """Return a part through its strip, as a show plays it."""
    stem = samples.copy()
    placement_of(strip).apply(stem.view(np.complex64)[:, 0])
    return held(stem, strip)


def strip(**changes: float) -> Strip:
    values = {
        "loudness_lu": -10.0,
        "gain_db": 0.0,
        "pan": 0.0,
        "width": 1.0,
        "send_db": -10.0,
        "peak_dbfs": -15.0,
    } | changes
    return Strip("trumpets", **values)


def test_every_part_has_a_strip_and_no_strip_is_left_over() -> None:
    """The table is the ensemble's."""
    assert set(STRIPS) == set(PART_BY_KEY)


def test_a_flat_strip_changes_nothing() -> None:
    """No gain, no pan, full width: the identity."""
    sound = noise_stems("trumpets")["trumpets"]
    assert np.allclose(placed(sound.samples, strip()).samples, sound.samples, atol=1e-6)


def test_gain_is_in_decibels() -> None:
    """-6.02 dB is a half."""
    sound = noise_stems("trumpets")["trumpets"].samples
    assert np.allclose(placed(sound, strip(gain_db=-6.0206)).samples, 0.5 * sound, atol=1e-6)


@pytest.mark.parametrize(("pan", "quiet", "loud"), [(-1.0, 1, 0), (1.0, 0, 1)])
def test_a_hard_pan_leaves_one_side(pan: float, quiet: int, loud: int) -> None:
    """A balance: the far side falls silent, the near side stays as it is."""
    sound = noise_stems("trumpets")["trumpets"].samples
    panned = placed(sound, strip(pan=pan)).samples
    assert np.abs(panned[:, quiet]).max() < 1e-6
    assert np.allclose(panned[:, loud], sound[:, loud], atol=1e-6)


def test_the_hardest_strokes_are_limited_and_nothing_else_is_touched() -> None:
    """A stroke of full scale comes out at the strip's peak; 50 ms away the sound is what it was."""
    sound = noise_stems("trumpets")["trumpets"].samples.copy()
    sound[36_000] = 1.0
    limited = placed(sound, strip()).samples
    assert np.abs(limited).max() == pytest.approx(db_to_ratio(-15.0), rel=1e-3)
    assert np.abs(limited.mean(axis=0)).max() < 1e-6
    assert np.allclose(limited[:33_600], sound[:33_600], atol=1e-4)
    assert np.allclose(limited[38_400:], sound[38_400:], atol=1e-4)


def test_no_width_is_mono() -> None:
    """Width 0: both sides carry the mean of the two."""
    sound = noise_stems("trumpets")["trumpets"].samples
    narrow = placed(sound, strip(width=0.0)).samples
    assert np.allclose(narrow, sound.mean(axis=1, keepdims=True), atol=1e-6)


def test_the_bus_is_the_sum_and_the_room_of_the_sends() -> None:
    """Written out plainly: the dry sum plus the room of every stem times its send, to -120 dB."""
    stems = noise_stems("trumpets", "sub", "marimba", "vibraphone")
    dry = sum(stem.samples.astype(np.float64) for stem in stems.values())
    wet = sum(
        reverberate(stem.samples * np.float32(db_to_ratio(STRIPS[part].send_db)), GYM).astype(np.float64)
        for part, stem in stems.items()
    )
    error = np.square(bus(stems, GYM).samples - (dry + wet)).mean() / np.square(dry + wet).mean()
    assert 10.0 * np.log10(error) < -120.0


def test_recorded_stems_are_only_summed() -> None:
    """Where the room adds nothing, the bus is the sum."""
    stems = noise_stems("trumpets", "tubas")
    wanted = stems["trumpets"].samples + stems["tubas"].samples
    assert np.allclose(bus(stems, AS_RECORDED).samples, wanted, atol=1e-7)


def test_the_bus_leaves_the_stems_alone() -> None:
    """Sounds are shared between rooms and threads: the sum is a new one."""
    stems = noise_stems("trumpets")
    before = stems["trumpets"].samples.copy()
    bus(stems, GYM)
    assert np.array_equal(stems["trumpets"].samples, before)


def test_a_mix_of_nothing_is_refused() -> None:
    """One clear sentence."""
    with pytest.raises(ValueError, match="at least one stem"):
        bus({}, GYM)
