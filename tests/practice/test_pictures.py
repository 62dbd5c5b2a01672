"""Pictures of a rep: what is drawn is what was done to the sound, and who plays is who is heard."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tests.noise_show import STEM_BANDS_HZ, NoiseShow
from tests.signals import impulse, sine, tone_steps
from trainer.dsp.octave_bands import NOMINAL_HZ, OCTAVES, octave
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.rooms import DRY
from trainer.practice.catalogue import load
from trainer.practice.change import MIX, Bell, Change, Compression, Edit, Level, Process, Stems, changed_mix
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.pictures import (
    FREQUENCIES,
    TIME_SLOTS,
    OverBands,
    OverFrequency,
    OverTime,
    activity_of,
    outline_of,
    picture_of,
    picture_of_change,
)
from trainer.practice.rep_code import RepSpec
from trainer.practice.values import Answer
from trainer.sound import Sound

SHOW = NoiseShow()
EXERCISES = load().exercises


@pytest.fixture(scope="module")
def excerpt() -> Excerpt:
    return SHOW.excerpt(1)


def dealt(key: str, *, size: float = 6.0, **focus: object) -> Rep:
    spec = RepSpec(key, SHOW.key, 3, Focus(size, **focus))  # type: ignore[arg-type]
    return deal(spec, EXERCISES[key], SHOW)


def change_of(*edits: tuple[str, Process]) -> Change:
    return Change(tuple(Edit(target, process) for target, process in edits))


def alone(part: str, sound: Sound) -> Excerpt:
    return Excerpt("made", 1, "made", DRY, {part: sound})


# Over frequency


@pytest.mark.parametrize(("centre_hz", "gain_db"), [(63.0957, 9.0), (1000.0, -6.0), (7943.28, 3.0)])
def test_a_bell_is_drawn_as_it_sounds(excerpt: Excerpt, centre_hz: float, gain_db: float) -> None:
    """The spectrum of a unit impulse through the process is its response: within 0.05 dB of the picture."""
    bell = Bell(centre_hz=centre_hz, gain_db=gain_db)
    picture = picture_of_change(change_of((MIX, bell)), excerpt)
    assert isinstance(picture, OverFrequency)
    heard = bell.apply({MIX: impulse(frames=96_000)})[MIX].samples[:, 0]
    heard_db = 20.0 * np.log10(np.abs(np.fft.rfft(heard)))
    at = np.interp(picture.frequencies_hz, np.fft.rfftfreq(96_000, 1.0 / 48_000), heard_db)
    assert_allclose(picture.gains_db, at, atol=0.05)


def test_a_bell_has_half_its_gain_an_octave_apart(excerpt: Excerpt) -> None:
    """Audio EQ Cookbook (W3C Note, 2021): a bell's bandwidth lies between the points of half its gain in dB."""
    picture = picture_of_change(change_of((MIX, Bell(centre_hz=501.187, gain_db=6.0))), excerpt)
    assert isinstance(picture, OverFrequency)
    above = picture.frequencies_hz[picture.gains_db >= 3.0]
    assert np.log2(above[-1] / above[0]) == pytest.approx(1.0, abs=0.06)
    assert picture.gains_db.max() == pytest.approx(6.0, abs=0.01)
    assert picture.frequencies_hz[picture.gains_db.argmax()] == pytest.approx(501.187, rel=0.01)


def test_a_curve_spans_the_ten_octaves_evenly(excerpt: Excerpt) -> None:
    """IEC 61260-1:2014: 31.5 Hz begins at 22.387 Hz, 16 kHz ends at 22 387 Hz."""
    picture = picture_of_change(change_of((MIX, Bell(centre_hz=1000.0, gain_db=6.0))), excerpt)
    assert isinstance(picture, OverFrequency)
    assert_allclose(picture.frequencies_hz[[0, -1]], [22.3872, 22387.2], rtol=1e-5)
    assert picture.frequencies_hz.size == picture.gains_db.size == FREQUENCIES
    assert np.ptp(np.diff(np.log(picture.frequencies_hz))) < 1e-9


def test_bells_in_a_row_add_up_in_decibels(excerpt: Excerpt) -> None:
    bells = (
        Bell(centre_hz=1000.0, gain_db=6.0),
        Bell(centre_hz=1400.0, gain_db=-4.0),
        Bell(centre_hz=90.0, gain_db=2.0),
    )
    together, *single = (
        picture_of_change(change_of(*((MIX, bell) for bell in row)), excerpt)
        for row in (bells, *((bell,) for bell in bells))
    )
    assert isinstance(together, OverFrequency)
    assert_allclose(together.gains_db, np.sum([one.gains_db for one in single], axis=0), atol=1e-9)
    assert np.ptp(together.gains_db) > 5.0


# Over time

STEPS_DBFS = (-12.0, -24.0)


def stepped() -> Excerpt:
    """Return a loop that is loud for 1.5 s and 12 dB softer for as long."""
    return alone("snare-line", tone_steps([(level, 1.5) for level in STEPS_DBFS]))


@pytest.mark.parametrize(("swing_db", "ratio"), [(9.0, 4.0), (6.0, 4.0), (10.8, 10.0)])
def test_a_compressor_between_two_steady_levels_swings_by_its_size(swing_db: float, ratio: float) -> None:
    """Giannoulis et al. (JAES 60(6), 2012), equation 4: above threshold and knee a step of 12 dB becomes 12 / R,
    so the meter swings by 12 (1 - 1 / R) at most: 9 dB at a ratio of 4, 10.8 at 10; the attack here takes 5 ms.
    """
    compression = Compression(swing_db - 0.01, ratio=ratio, attack_s=0.005, release_s=0.05, knee_db=0.0)
    picture = picture_of_change(change_of(("snare-line", compression)), stepped())
    assert isinstance(picture, OverTime)
    loud, soft = (
        picture.gains_db[(picture.times_s > start_s + 0.5) & (picture.times_s < start_s + 1.4)]
        for start_s in (0.0, 1.5)
    )
    assert np.mean(soft) - np.mean(loud) == pytest.approx(swing_db, abs=0.2)
    assert np.ptp(loud) < 0.2 > np.ptp(soft)
    assert picture.swing_db == pytest.approx(swing_db - 0.01, abs=0.01)


def test_silence_is_not_counted_into_the_swing() -> None:
    """A tone at two levels for half of the loop, 80 dB less for the other: the needle's way back to rest in the
    silence would be the whole reduction, and is not in the swing of the half that sounds.
    """
    compression = Compression(6.0, ratio=4.0, attack_s=0.005, release_s=0.05)
    loop = alone("snare-line", tone_steps([(-12.0, 1.5), (-24.0, 1.5), (-92.0, 3.0)]))
    picture = picture_of_change(change_of(("snare-line", compression)), loop)
    assert isinstance(picture, OverTime)
    assert picture.swing_db == pytest.approx(6.0, abs=0.05)
    assert np.ptp(picture.gains_db) > 6.0


FAST = Compression(9.0, ratio=10.0, attack_s=0.001, release_s=0.06)
SLOW = Compression(3.0, ratio=4.0, attack_s=0.03, release_s=0.5)


@pytest.mark.parametrize("row", [(FAST,), (FAST, SLOW)], ids=["one", "two in a row"])
def test_a_trace_is_the_gain_that_was_heard_without_its_make_up(
    excerpt: Excerpt, row: tuple[Compression, ...]
) -> None:
    """What comes out over what goes in is the trace and one gain the same everywhere, at each slot's deepest."""
    picture = picture_of_change(change_of(*(("snare-line", each) for each in row)), excerpt)
    assert isinstance(picture, OverTime)
    made: Stems = {"snare-line": excerpt.stems["snare-line"]}
    for compression in row:
        made = compression.apply(made)
    before = excerpt.stems["snare-line"].samples[:, 0].astype(np.float64)
    after = made["snare-line"].samples[:, 0]
    gains_db = 20.0 * np.log10(np.where(np.abs(before) > 1e-6, after / before, np.inf))
    makeup_db = gains_db.reshape(TIME_SLOTS, -1).min(axis=1) - picture.gains_db
    assert np.ptp(makeup_db) < 0.2
    assert np.mean(makeup_db) > 3.0
    assert picture.gains_db.max() <= 0.0


@pytest.mark.parametrize("target", [MIX, "battery", "snare-line"])
def test_a_trace_spans_the_loop_on_any_target(excerpt: Excerpt, target: str) -> None:
    compression = Compression(3.0, ratio=10.0, attack_s=0.03, release_s=0.5)
    picture = picture_of_change(change_of((target, compression)), excerpt)
    assert isinstance(picture, OverTime)
    slot_s = excerpt.duration_s / TIME_SLOTS
    assert_allclose(picture.times_s, (np.arange(TIME_SLOTS) + 0.5) * slot_s, rtol=1e-9)
    assert picture.swing_db == pytest.approx(3.0, abs=0.01)


def test_a_compressor_that_does_nothing_is_no_gain(excerpt: Excerpt) -> None:
    none = Compression(0.0, ratio=4.0, attack_s=0.01, release_s=0.1)
    picture = picture_of_change(change_of(("marimba", none)), excerpt)
    assert isinstance(picture, OverTime)
    assert not picture.gains_db.any()
    assert picture.swing_db == 0.0


# Over bands


def octave_power(sound: Sound) -> np.ndarray:
    """Return octave powers from sums of whole bins, edges by IEC 61260-1:2014 (base ten)."""
    power = np.sum(np.abs(np.fft.rfft(sound.samples.astype(np.float64), axis=0)) ** 2, axis=1)
    frequency_hz = np.fft.rfftfreq(sound.frames, 1.0 / sound.rate_hz)
    centres_hz = 1000.0 * 10.0 ** (0.3 * np.arange(-5, 5))
    edges_hz = [(centre_hz * 10.0**-0.15, centre_hz * 10.0**0.15) for centre_hz in centres_hz]
    return np.array([power[(frequency_hz >= low) & (frequency_hz < high)].sum() for low, high in edges_hz])


@pytest.mark.parametrize(("target", "gain_db"), [("battery", 6.0), ("glockenspiel", -9.0)])
def test_a_fader_is_drawn_by_how_far_the_bands_of_the_mix_move(
    excerpt: Excerpt, target: str, gain_db: float
) -> None:
    """Octave powers of both mixes by another route (IEC 61260-1:2014), within 0.05 dB."""
    change = change_of((target, Level(gain_db)))
    picture = picture_of_change(change, excerpt)
    assert isinstance(picture, OverBands)
    assert tuple(picture.bands_hz) == NOMINAL_HZ
    moved_db = 10.0 * np.log10(octave_power(changed_mix(change, excerpt)) / octave_power(excerpt.mix))
    assert_allclose(picture.gains_db, moved_db, atol=0.05)
    low_hz, high_hz = STEM_BANDS_HZ["glockenspiel"]
    if target == "glockenspiel":
        moved = [band.low_hz > low_hz / 2 and band.high_hz < 2 * high_hz for band in OCTAVES]
        assert np.abs(picture.gains_db[np.logical_not(moved)]).max() < 1.0 < -picture.gains_db[moved].min()


@pytest.mark.parametrize("gain_db", [3.0, -12.0])
def test_the_whole_mix_moves_as_one_and_is_not_matched_first(excerpt: Excerpt, gain_db: float) -> None:
    """A gain is the same at every frequency; after matching in loudness nothing would be left of it."""
    picture = picture_of_change(change_of((MIX, Level(gain_db))), excerpt)
    assert isinstance(picture, OverBands)
    assert_allclose(picture.gains_db, gain_db, atol=1e-4)


def test_a_band_that_carries_next_to_nothing_is_left_out() -> None:
    """A sine of 1 kHz lies in one octave; 30 dB below it one of 4 kHz counts, 50 dB below it does not."""
    tones = sine(frequency_hz=1000.0, duration_s=1.0, peak_dbfs=-10.0, channels=2).samples.copy()
    tones += sine(frequency_hz=4000.0, duration_s=1.0, peak_dbfs=-40.0, channels=2).samples
    tones += sine(frequency_hz=125.0, duration_s=1.0, peak_dbfs=-60.0, channels=2).samples
    picture = picture_of_change(change_of((MIX, Level(6.0))), alone("trumpets", Sound(tones)))
    assert isinstance(picture, OverBands)
    kept = picture.bands_hz[np.isfinite(picture.gains_db)]
    assert kept.tolist() == [1000.0, 4000.0]


@dataclass(frozen=True, slots=True)
class Flipped:
    """A process no picture was made for: one channel's polarity."""

    def apply(self, stems: Stems) -> dict[str, Sound]:
        """Return the stems with their right channel turned over."""
        return {key: Sound.of(sound.samples * [1.0, -1.0], sound.rate_hz) for key, sound in stems.items()}


BELL = Bell(centre_hz=1000.0, gain_db=6.0)

ANY_CHANGES = {
    "a process no picture was made for": change_of(("battery", Flipped())),
    "bells on two targets": change_of(("battery", BELL), ("marimba", BELL)),
    "two kinds of process": change_of(("battery", BELL), ("battery", Level(3.0))),
    "nothing at all": Change(()),
}


@pytest.mark.parametrize("change", ANY_CHANGES.values(), ids=ANY_CHANGES)
def test_whatever_else_is_done_is_drawn_by_bands(excerpt: Excerpt, change: Change) -> None:
    picture = picture_of_change(change, excerpt)
    assert isinstance(picture, OverBands)
    moved_db = 10.0 * np.log10(octave_power(changed_mix(change, excerpt)) / octave_power(excerpt.mix))
    assert_allclose(picture.gains_db, moved_db, atol=0.05)


# Of a rep


def test_the_truth_and_a_wrong_answer_each_have_their_own_picture() -> None:
    rep = dealt("octave-tone", scope="mix", band_hz=500.0, direction=-1)
    said: Answer = {"band": 4000.0, "direction": "boost"}
    truth, wrong = picture_of(rep.answer, rep), picture_of(said, rep)
    assert isinstance(truth, OverFrequency)
    assert isinstance(wrong, OverFrequency)
    lowest, highest = truth.gains_db.argmin(), wrong.gains_db.argmax()
    assert truth.frequencies_hz[lowest] == pytest.approx(octave(500.0).centre_hz, rel=0.01)
    assert truth.gains_db[lowest] == pytest.approx(-6.0, abs=0.01)
    assert wrong.frequencies_hz[highest] == pytest.approx(octave(4000.0).centre_hz, rel=0.01)
    assert wrong.gains_db[highest] == pytest.approx(6.0, abs=0.01)


@pytest.mark.parametrize("exercise", EXERCISES.values(), ids=lambda exercise: exercise.key)
def test_every_option_of_every_exercise_can_be_drawn(exercise: Exercise) -> None:
    rep = dealt(exercise.key, size=exercise.ladder.start)
    for field in rep.question.fields:
        for option in {field.options[0], field.options[-1]} - {rep.answer[field.key]}:
            picture = picture_of({**rep.answer, field.key: option}, rep)
            assert np.isfinite(picture.gains_db).any()
            assert np.abs(np.nan_to_num(picture.gains_db)).max() < 60.0


# Who plays when


def bursts(levels_dbfs: tuple[float, ...], *, slot_s: float = 0.25) -> Sound:
    return tone_steps([(level, slot_s) for level in levels_dbfs])


def test_a_stem_sounds_where_it_plays_at_its_strength_and_nowhere_else() -> None:
    """Of its own range of 30 dB: 0 dB below its loudest is 1, 15 dB is a half, 30 and more is 0."""
    excerpt = Excerpt("made", 1, "made", DRY, {
        "marimba": bursts((-10.0, -25.0, -39.0, -80.0)),
        "snare-line": bursts((-90.0, -40.0, -40.0, -75.0)),
        "sub": bursts((-65.0, -70.0, -65.0, -65.0)),
    })  # fmt: skip
    activity = activity_of(excerpt, slots_per_s=20.0)
    assert activity.stems == ("marimba", "snare-line", "sub")
    assert activity.strengths.shape == (3, 20)
    assert_allclose(activity.strengths[0].reshape(4, 5)[:, 2], [1.0, 0.5, 1 / 30, 0.0], atol=0.01)
    assert_allclose(activity.strengths[1].reshape(4, 5)[:, 2], [0.0, 1.0, 1.0, 0.0], atol=0.01)
    assert not activity.strengths[2].any()
    said = [activity.sounding(moment_s) for moment_s in (0.1, 0.4, 0.6, 0.9)]
    assert said == [("marimba",), ("marimba", "snare-line"), ("marimba", "snare-line"), ()]


def test_a_moment_is_the_same_however_often_the_loop_has_gone_round(excerpt: Excerpt) -> None:
    activity = activity_of(excerpt, slots_per_s=7.3)
    slots = activity.strengths.shape[1]
    assert slots / activity.slots_per_s == pytest.approx(excerpt.duration_s)
    for moment_s in (0.0, 1.234, 5.9):
        later_s = moment_s + 3.0 * excerpt.duration_s
        assert_allclose(activity.strengths_at(later_s), activity.strengths_at(moment_s))
    assert activity.strengths.min() >= 0.0
    assert_allclose(activity.strengths.max(axis=1), 1.0)


def test_an_outline_is_the_greatest_magnitude_slot_by_slot() -> None:
    """By definition, slot by slot in a plain loop; peaks below zero and in either channel count."""
    samples = np.random.default_rng(4).standard_normal((1003, 2)).astype(np.float32)
    samples[500] = (0.0, -9.0)
    outline = outline_of(Sound(samples.copy()), 17)
    edges = [number * 1003 // 17 for number in range(18)]
    peaks = [np.abs(samples[a:b]).max() for a, b in pairwise(edges)]
    assert_allclose(outline, np.array(peaks) / 9.0, rtol=1e-6)


def test_an_outline_of_little_or_nothing() -> None:
    assert outline_of(Sound.silence(100), 10).tolist() == [0.0] * 10
    assert outline_of(Sound.of([0.25, -0.5, 0.125]), 10).tolist() == [0.5, 1.0, 0.25]
