"""Changes: what an edit does to the mix, and that it does nothing else."""

import numpy as np
import pytest

from tests.noise_show import NoiseShow
from tests.signals import pink_noise
from trainer.dsp import dynamics, meter_swing
from trainer.dsp.level import mix_of, rms_db
from trainer.dsp.octave_bands import OCTAVES, band_levels_db, octave
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.change import MIX, Bell, Change, Compression, Edit, Level, changed_mix
from trainer.sound import Sound


@pytest.fixture(scope="module")
def excerpt() -> Excerpt:
    return NoiseShow().excerpt(1)


def change_of(target: str, process: Bell | Level | Compression) -> Change:
    return Change((Edit(target, process),))


@pytest.mark.parametrize(
    ("gain_db", "band_hz", "expected_db"),
    [(6.0, 1000.0, 4.809), (-6.0, 1000.0, -4.597), (12.0, 1000.0, 9.684)],
)
def test_a_bell_on_pink_noise_moves_its_octave_as_computed(
    gain_db: float, band_hz: float, expected_db: float
) -> None:
    """The mean of the RBJ peaking response over the octave, half-gain points an octave apart (Audio EQ Cookbook,
    W3C Note 2021): +4.809, -4.597 and +9.684 dB for +6, -6 and +12 dB at 1 kHz; 0.2 dB on 20 s of noise.
    """
    noise = pink_noise(duration_s=20.0, seed=4)
    bell = Bell(centre_hz=octave(band_hz).centre_hz, gain_db=gain_db)
    moved = band_levels_db(bell.apply({MIX: noise})[MIX]) - band_levels_db(noise)
    assert moved[[band.nominal_hz for band in OCTAVES].index(band_hz)] == pytest.approx(expected_db, abs=0.2)


def test_a_change_of_nothing_changes_nothing(excerpt: Excerpt) -> None:
    for process in (Bell(centre_hz=1000.0, gain_db=0.0), Level(0.0), Compression(0.0, 10.0, 0.01, 0.1)):
        for target in (MIX, "battery", "marimba"):
            difference = changed_mix(change_of(target, process), excerpt).samples - excerpt.mix.samples
            assert np.max(np.abs(difference)) < 1e-5


def test_a_level_change_moves_its_target_and_nothing_else(excerpt: Excerpt) -> None:
    changed = changed_mix(change_of("battery", Level(6.0)), excerpt)
    expected = excerpt.mix_with(
        {
            part: Sound(excerpt.stems[part].samples * np.float32(10**0.3))
            for part in ("snare-line", "bass-drum-line")
        }
    )
    assert np.max(np.abs(changed.samples - expected.samples)) < 1e-5


def test_edits_add_up(excerpt: Excerpt) -> None:
    there_and_back = Change(
        (
            Edit("marimba", Level(6.0)),
            Edit("marimba", Level(-6.0)),
            Edit(MIX, Level(3.0)),
            Edit(MIX, Level(-3.0)),
        )
    )
    assert np.max(np.abs(changed_mix(there_and_back, excerpt).samples - excerpt.mix.samples)) < 1e-5


@pytest.mark.parametrize(("attack_s", "release_s"), [(0.001, 0.06), (0.03, 0.5)])
@pytest.mark.parametrize("swing_db", [3.0, 5.0, 8.0])
def test_the_meter_of_a_compression_swings_by_its_size(
    excerpt: Excerpt, swing_db: float, attack_s: float, release_s: float
) -> None:
    """The 95th less the 5th percentile of what comes out over what goes in, on the loop, where its envelope (in a
    plain run round it four times) is within 30 dB of its 99th percentile.
    """
    stem = excerpt.stems["bass-drum-line"]
    made = Compression(swing_db, ratio=10.0, attack_s=attack_s, release_s=release_s).apply({"a": stem})["a"]
    loud = np.abs(stem.samples[:, 0]) > 1e-4
    gain_db = 20.0 * np.log10(
        np.where(loud, made.samples[:, 0], 1.0) / np.where(loud, stem.samples[:, 0], 1.0)
    )
    thrice = Sound(np.tile(stem.samples, (4, 1)), stem.rate_hz)
    level = dynamics.envelope(thrice, attack_s=attack_s, release_s=release_s)[-stem.frames :]
    sounding = (level >= np.percentile(level, 99.0) * 10.0**-1.5) & loud
    low_db, high_db = np.percentile(gain_db[sounding], [5.0, 95.0])
    assert high_db - low_db == pytest.approx(swing_db, rel=0.02)


def test_a_sound_too_even_for_a_swing_is_refused() -> None:
    """A constant has a level that does not move: no threshold makes a meter swing on it."""
    even = Sound.of(np.full((48_000, 2), 0.1))
    with pytest.raises(meter_swing.SwingOutOfReach, match=r"at most 0\.0 dB"):
        Compression(3.0, ratio=10.0, attack_s=0.01, release_s=0.1).apply({"sub": even})


def test_a_compression_keeps_the_level_of_its_target_and_narrows_it(excerpt: Excerpt) -> None:
    stems = {part: excerpt.stems[part] for part in ("snare-line", "bass-drum-line")}
    after = Compression(8.0, ratio=10.0, attack_s=0.001, release_s=0.06).apply(stems)
    together, pressed = mix_of(list(stems.values())), mix_of(list(after.values()))
    assert rms_db(pressed) == pytest.approx(rms_db(together), abs=0.05)
    assert spread_db(pressed) < spread_db(together) - 4.0


def test_a_section_is_compressed_as_one_group(excerpt: Excerpt) -> None:
    stems = {part: excerpt.stems[part] for part in ("snare-line", "bass-drum-line")}
    after = Compression(8.0, ratio=10.0, attack_s=0.001, release_s=0.06).apply(stems)
    gains = [
        after[part].samples / np.where(stems[part].samples == 0, 1, stems[part].samples) for part in stems
    ]
    loud = np.all([np.abs(stems[part].samples) > 1e-3 for part in stems], axis=0)
    assert np.max(np.abs(gains[0] - gains[1])[loud]) < 1e-3


def test_a_compression_loops_without_a_seam(excerpt: Excerpt) -> None:
    """What the gain is at the end of the loop, it is at its start: no larger step there than anywhere else."""
    stem = excerpt.stems["snare-line"]
    pressed = Compression(6.0, ratio=10.0, attack_s=0.03, release_s=0.5).apply({"snare-line": stem})[
        "snare-line"
    ]
    loud = np.abs(stem.samples[:, 0]) > 1e-3
    gain = pressed.samples[loud, 0] / stem.samples[loud, 0]
    assert abs(gain[0] - gain[-1]) <= np.max(np.abs(np.diff(gain)))
    assert np.ptp(gain) > 0.3


def test_a_change_is_described_as_plain_data() -> None:
    change = Change((Edit("battery", Level(6.0)), Edit(MIX, Bell(centre_hz=1000.0, gain_db=-3.0))))
    assert change.described() == [
        {"target": "battery", "process": "level", "gain_db": 6.0},
        {"target": "mix", "process": "bell", "centre_hz": 1000.0, "gain_db": -3.0, "width_octaves": 1.0},
    ]


def spread_db(sound: Sound) -> float:
    """Return how far the level of 50 ms windows spreads (95th over 20th percentile)."""
    windows = sound.samples[: sound.frames // 2400 * 2400].reshape(-1, 2400, 2)
    level_db = 10.0 * np.log10(np.mean(np.square(windows), axis=(1, 2)) + 1e-12)
    return float(np.percentile(level_db, 95) - np.percentile(level_db, 20))


@pytest.mark.parametrize("swing_db", [0.0, 9.0])
def test_the_gain_of_a_compression_is_what_it_does_to_its_target_but_for_the_make_up(
    excerpt: Excerpt, swing_db: float
) -> None:
    stem = excerpt.stems["snare-line"]
    compression = Compression(swing_db, ratio=10.0, attack_s=0.001, release_s=0.06)
    gain = compression.gain_on(stem).samples
    assert gain.shape == (stem.frames, 1)
    assert np.max(gain) <= 1.0
    pressed = compression.apply({"snare-line": stem})["snare-line"].samples
    makeup = np.sqrt(np.mean(np.square(stem.samples)) / np.mean(np.square(stem.samples * gain)))
    assert np.max(np.abs(pressed - makeup * stem.samples * gain)) < 1e-5
    assert (makeup > 1.5) == (np.ptp(gain) > 0.3) == (swing_db > 0.0)


@pytest.mark.parametrize(("attack_s", "release_s"), [(0.001, 0.06), (0.03, 0.5)])
def test_the_gain_foreseen_in_each_window_is_the_gain_measured_there(
    excerpt: Excerpt, attack_s: float, release_s: float
) -> None:
    """Power out over power in, window by window, measured on what was rendered; windows run over the end."""
    stem = excerpt.stems["snare-line"]
    compression = Compression(6.0, ratio=10.0, attack_s=attack_s, release_s=release_s)
    foreseen_db = compression.gains_over_time(stem, compression.levels_on(stem), window_s=0.2, hop_s=0.15)
    made = compression.apply({"a": stem})["a"]
    starts = range(0, stem.frames, 7_200)
    powers = [
        [np.sum(np.square(np.take(one.samples, range(at, at + 9_600), axis=0, mode="wrap"))) for at in starts]
        for one in (stem, made)
    ]
    measured_db = 10.0 * np.log10(np.array(powers[1]) / np.array(powers[0]))
    assert foreseen_db.shape == measured_db.shape == (40,)
    assert np.ptp(measured_db) > 3.0
    assert np.max(np.abs(foreseen_db - foreseen_db.mean() - (measured_db - measured_db.mean()))) < 0.01
    assert np.max(np.abs(foreseen_db - measured_db)) < 0.1


def test_silence_gains_nothing() -> None:
    nothing = Sound.silence(48_000)
    compression = Compression(0.0, ratio=10.0, attack_s=0.01, release_s=0.1)
    gains_db = compression.gains_over_time(nothing, compression.levels_on(nothing))
    assert gains_db.tolist() == [0.0] * 10
