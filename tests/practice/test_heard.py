"""An ear that listens to a mix: the threshold of hearing under it, and how far a change moves it."""

from functools import lru_cache

import numpy as np
import pytest

from tests.noise_show import NoiseShow
from tests.signals import flat_spectrum_pink, sine
from trainer.dsp import excitation, hearing
from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.rooms import DRY
from trainer.ensemble.shows import generated_shows
from trainer.practice import audibility
from trainer.practice.change import MIX, Bell, Change, Edit, Level, changed_mix
from trainer.practice.heard import MixListener, Shift, is_heard_added, is_heard_at_all
from trainer.practice.listening import STANDARD, Listening
from trainer.sound import Sound

NOISE = NoiseShow().excerpt(2)
LAPTOP = NOMINAL_HZ[3:]


def of_one_stem(sound: Sound) -> Excerpt:
    return Excerpt("one", 1, "one", DRY, {"marimba": Sound.of(np.repeat(sound.samples, 2, axis=1))})


@lru_cache(maxsize=1)
def tutti() -> Excerpt:
    return generated_shows(NoteBank())["field-show"].excerpt(3)


@lru_cache(maxsize=1)
def pink() -> Excerpt:
    return of_one_stem(flat_spectrum_pink(duration_s=3.0, seed=1))


def above_floor_db(listener: MixListener) -> np.ndarray:
    return 10.0 * np.log10(np.maximum(listener.plain.mean(axis=0) / listener.floor - 1.0, 1e-9))


@pytest.mark.parametrize(
    ("nominal_hz", "channel", "threshold_db_spl"), [(31.5, 1, 59.5), (63.0, 4, 37.5), (100.0, 6, 26.5)]
)
def test_a_tone_in_silence_reaches_the_threshold_of_hearing_at_the_standards_level(
    nominal_hz: float, channel: int, threshold_db_spl: float
) -> None:
    """ISO 226:2023, table 1, T_f: there a tone excites as much as the floor does, 10 dB higher ten times as much."""
    centre_hz = float(excitation.channels_hz()[channel])
    assert centre_hz == pytest.approx(nominal_hz, rel=0.01)
    tone = of_one_stem(sine(frequency_hz=centre_hz, duration_s=3.0, peak_dbfs=-20.0))
    for level_db_spl in (round(threshold_db_spl), round(threshold_db_spl) + 10):
        above_db = above_floor_db(MixListener(tone, Listening(level_db_spl)))
        assert above_db[channel] == pytest.approx(level_db_spl - threshold_db_spl, abs=0.7)


@pytest.mark.parametrize(("channel", "least_db"), [(10, -4.5), (20, -4.5), (30, -4.5)])
def test_wherever_a_tone_lies_its_nearest_channel_hears_it_near_its_threshold(
    channel: int, least_db: float
) -> None:
    """Half a bandwidth off its centre a filter lets 3.9 dB less through: W = 3 exp(-2)."""
    low_hz, high_hz = excitation.channels_hz()[channel : channel + 2]
    for frequency_hz in np.linspace(low_hz, high_hz, 5):
        tone = of_one_stem(sine(frequency_hz=float(frequency_hz), duration_s=1.0, peak_dbfs=-20.0))
        expected_db = 60.0 - hearing.threshold_db_spl(frequency_hz)
        best_db = above_floor_db(MixListener(tone, Listening(60.0)))[channel : channel + 2].max()
        assert least_db <= best_db - expected_db <= 1.5


def test_a_learners_own_thresholds_raise_the_floor_and_never_lower_it() -> None:
    own = np.floor(hearing.threshold_db_spl(NOMINAL_HZ))
    own[8], own[2] = own[8] + 30.0, own[2] - 30.0
    floors = [MixListener(pink(), Listening(thresholds_db_spl=given)).floor for given in (tuple(own), ())]
    raised_db, channels_hz = 10.0 * np.log10(floors[0] / floors[1]), excitation.channels_hz()
    there = (channels_hz > 5623.4) & (channels_hz < 11220.2)
    assert raised_db[there] == pytest.approx(42.0 - 12.6, abs=1e-3)
    assert raised_db[~there] == pytest.approx(0.0, abs=1e-3)


def test_what_is_louder_by_a_decibel_lies_a_decibel_further_above_the_floor() -> None:
    soft, loud = (MixListener(pink(), Listening(level_db_spl)).floor for level_db_spl in (50.0, 71.0))
    assert 10.0 * np.log10(soft / loud) == pytest.approx(21.0, abs=1e-3)


def test_the_bands_a_setup_cannot_play_excite_nothing_and_lend_nothing() -> None:
    bass = of_one_stem(sine(frequency_hz=60.0, duration_s=2.0, peak_dbfs=-20.0))
    assert np.all(
        MixListener(bass, Listening(usable_hz=LAPTOP)).plain
        < 1.001 * MixListener(bass, Listening(usable_hz=LAPTOP)).floor
    )
    listener = MixListener(NOISE, Listening(usable_hz=LAPTOP))
    assert excitation.channels_hz()[listener.usable].min() > 177.0
    assert np.all(listener.usable == (excitation.channels_hz() > 177.8))


@pytest.mark.parametrize("size_db", [3.0, 6.0, 12.0])
def test_at_31_hz_a_cut_saturates_and_a_boost_does_not(size_db: float) -> None:
    """Flat to the ear's floor at 65 dB SPL: what a cut leaves is below the threshold of hearing (ISO 226)."""
    listener = MixListener(pink(), STANDARD)
    moved = {}
    for sign in (1.0, -1.0):
        changed = changed_mix(Change((Edit(MIX, Bell(31.623, sign * size_db)),)), pink())
        shift = listener.shift(listener.with_added(Sound(changed.samples - pink().mix.samples)))
        moved[sign] = np.abs(shift.moved_db).mean(axis=0)[:2].max()
    assert moved[-1.0] < moved[1.0] < size_db
    assert moved[-1.0] < 10.0 * np.log10(1.0 + (listener.plain / listener.floor)[:, :2].max())


@pytest.mark.parametrize("excerpt", [NOISE, tutti()], ids=["noise", "tutti"])
@pytest.mark.parametrize("gain_db", [6.0, -6.0])
def test_a_fader_move_is_predicted_as_it_is_rendered(excerpt: Excerpt, gain_db: float) -> None:
    """Against the mix made anew with the stem louder or softer, channel by channel and frame by frame."""
    listener = MixListener(excerpt, STANDARD)
    for part in excerpt.parts[::3]:
        made = listener.shift(rendered(listener, Edit(part, Level(gain_db)))).moved_db
        predicted = listener.shift(listener.with_gain(part, gain_db=gain_db)).moved_db
        assert np.max(np.abs(predicted - made)) < 0.02


@pytest.mark.parametrize(("excerpt", "worst_db"), [(NOISE, 1.5), (tutti(), 0.5)], ids=["noise", "tutti"])
@pytest.mark.parametrize("gain_db", [12.0, -6.0])
def test_a_bell_is_predicted_as_it_is_rendered(excerpt: Excerpt, worst_db: float, gain_db: float) -> None:
    """Against the mix made anew with the stem through the bell.

    How a bell rings on from frame to frame is not predicted: it tells where noise falls by 24 dB at once.
    """
    listener = MixListener(excerpt, STANDARD)
    predicted, made = [], []
    for part, centre_hz in (
        (excerpt.parts[0], 501.19),
        (excerpt.parts[3], 3981.1),
        (excerpt.parts[2], 63.096),
    ):
        bell = Bell(centre_hz, gain_db)
        made.append(listener.shift(rendered(listener, Edit(part, bell))).moved_db)
        predicted.append(listener.shift(audibility.with_bells(listener, part, [bell])[0]).moved_db)
    assert np.corrcoef(np.ravel(predicted), np.ravel(made))[0, 1] > 0.998
    off_db = np.abs(np.array(predicted) - made) * where_it_sounds(listener)
    assert 0.0 < np.max(off_db) < worst_db


def where_it_sounds(listener: MixListener) -> np.ndarray:
    return listener.plain >= np.percentile(listener.plain, 95.0, axis=0) * 10.0**-1.5


def rendered(listener: MixListener, edit: Edit) -> np.ndarray:
    changed = changed_mix(Change((edit,)), listener.excerpt)
    return (
        listener.floor
        + excitation.powers_of(excitation.spectra_of(changed))[listener.active] @ listener.filters
    )


def test_a_sound_added_is_heard_as_the_gain_that_adds_it() -> None:
    listener = MixListener(NOISE, STANDARD)
    more = Sound(NOISE.through_bus("snare-line").samples * np.float32(10.0**0.3 - 1.0))
    by_gain = listener.with_gain("snare-line", gain_db=6.0)
    assert np.allclose(listener.with_added(more), by_gain, rtol=1e-3)


def test_a_gain_that_varies_is_that_gain_in_each_frame() -> None:
    listener = MixListener(NOISE, STANDARD)
    gains_db = np.where(np.arange(len(listener.active)) % 2, 6.0, -3.0)
    mixed = listener.with_gain("snare-line", gain_db=gains_db)
    for gain_db in (6.0, -3.0):
        steady = listener.with_gain("snare-line", gain_db=gain_db)
        there = gains_db[listener.active] == gain_db
        assert np.allclose(mixed[there], steady[there])


def test_frames_30_db_below_the_loudest_are_not_listened_in() -> None:
    tone = sine(frequency_hz=1000.0, duration_s=4.0, peak_dbfs=-20.0)
    steps = np.repeat(10.0 ** (np.array([0.0, -28.0, -32.0, 0.0]) / 20.0), tone.frames // 4)
    stepped = of_one_stem(Sound.of(tone.samples[:, 0] * steps))
    dry = Excerpt("one", 1, "one", DRY, stepped.stems)
    active = MixListener(dry, STANDARD).active
    assert active[13:18].all()
    assert not active[26:28].any() or dry.room.adds_sound
    assert not active.all()


def shift_of(moved_db: np.ndarray, plain_db: np.ndarray | None = None) -> Shift:
    """Return a shift of ten frames and three channels."""
    plain = 10.0 ** ((np.zeros_like(moved_db) if plain_db is None else plain_db) / 10.0)
    return Shift(plain, plain * 10.0 ** (moved_db / 10.0))


BOTH = np.array([True, True, False])


def test_a_share_is_of_the_frames_in_which_the_best_channel_moves_enough_this_way() -> None:
    moved_db = np.zeros((10, 3))
    moved_db[:2, 0], moved_db[2:4, 1], moved_db[4, 1], moved_db[5, 0], moved_db[6:, 2] = (
        1.01,
        3.0,
        0.99,
        -2.0,
        9.0,
    )
    shift = shift_of(moved_db)
    assert shift.share(BOTH, sign=1.0) == pytest.approx(0.4)
    assert shift.share(BOTH, sign=-1.0) == pytest.approx(0.1)
    assert shift.share(BOTH, sign=0.0) == pytest.approx(0.5)
    assert shift.share_of_any(BOTH, sign=0.0) == pytest.approx(0.5)
    assert shift.share_of_any(~BOTH, sign=1.0) == pytest.approx(0.4)


def test_only_where_a_band_sounds_is_it_heard_to_move() -> None:
    """A band sounds within 15 dB of the 95th percentile of its own level."""
    plain_db, moved_db = np.zeros((10, 3)), np.zeros((10, 3))
    plain_db[4:7, :2], plain_db[7:, :2] = -14.5, -16.0
    moved_db[3:, :2] = -2.0
    assert shift_of(moved_db, plain_db).share(BOTH, sign=-1.0) == pytest.approx(4.0 / 7.0)
    assert shift_of(moved_db, plain_db).share_of_any(BOTH, sign=-1.0) == pytest.approx(0.4)
    assert shift_of(-moved_db, plain_db).share(BOTH, sign=1.0) == pytest.approx(7.0 / 10.0)
    assert shift_of(moved_db, plain_db).rms_db(BOTH) == pytest.approx(np.sqrt(4.0 * 4.0 / 7.0))


def test_the_long_term_is_the_mean_power_of_the_best_channel() -> None:
    """By hand: doubled in half of the frames, the mean is up by 10 log10(1.5) = 1.76 dB."""
    moved_db = np.zeros((10, 3))
    moved_db[:5, 1] = 10.0 * np.log10(2.0)
    moved_db[:, 2] = 9.0
    shift = shift_of(moved_db)
    assert shift.long_term_db(BOTH, sign=1.0) == pytest.approx(1.761, abs=0.001)
    assert shift.long_term_db(BOTH, sign=-1.0) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("frames", "is_heard"), [(2, False), (3, True)])
def test_a_change_is_there_from_a_fifth_of_the_frames(frames: int, is_heard: bool) -> None:
    class Still(MixListener):
        """An ear that hears fifteen frames of silence."""

    listener = Still(pink(), STANDARD)
    plain = np.ones((15, len(listener.usable)), np.float32)
    object.__setattr__(listener, "plain", plain)
    object.__setattr__(listener, "floor", plain[0] * np.float32(1e-6))
    changed = plain.copy()
    changed[:frames, 7] = 10.0**0.12
    assert is_heard_at_all(listener, changed) == is_heard
    assert is_heard_at_all(listener, changed, sign=1.0) == is_heard
    assert not is_heard_at_all(listener, changed, sign=-1.0)


def test_what_is_added_to_a_mix_is_heard_or_not() -> None:
    loud, soft = (Sound(NOISE.stems["snare-line"].samples * np.float32(ratio)) for ratio in (0.5, 0.01))
    assert is_heard_added(NOISE, loud, STANDARD)
    assert not is_heard_added(NOISE, soft, STANDARD)
    assert not is_heard_added(NOISE, loud, Listening(usable_hz=(31.5, 63.0, 125.0)))
