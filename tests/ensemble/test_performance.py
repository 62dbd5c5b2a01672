"""A performance: the loop, players' time, no two strokes alike, hands that stop what rings."""

from itertools import combinations, pairwise

import numpy as np
import pytest

from tests.ensemble.voices.struck import Floats, band_levels_db, likeness, mono
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.parts import PART_BY_KEY
from trainer.ensemble.performance import perform
from trainer.ensemble.score import Note
from trainer.ensemble.voices.band import VOICES
from trainer.ensemble.voices.voice import Audio
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

BANK = NoteBank()
STRUCK = tuple(voice.part for voice in VOICES.values() if not voice.lengths_s)
HELD = tuple(voice.part for voice in VOICES.values() if voice.lengths_s)
KEYBOARDS = ("marimba", "vibraphone", "xylophone", "glockenspiel")
SEVERAL = {
    "marimba": (45, 52, 60, 67),
    "vibraphone": (55, 62, 70),
    "xylophone": (70, 80),
    "glockenspiel": (84, 95),
    "timpani": (45,),
}
PITCHES = {"marimba": 60, "vibraphone": 65, "xylophone": 77, "glockenspiel": 84, "timpani": 45}


def pitch_of(part: str) -> int:
    return PITCHES.get(part, 0)


def equal_strokes(
    part: str,
    count: int,
    *,
    every_s: float,
    seed: int = 1,
    velocity: float = 0.7,
    pitch: int | None = None,
) -> Audio:
    struck = pitch_of(part) if pitch is None else pitch
    notes = [Note(part, float(place), 0.5, struck, velocity) for place in range(count)]
    frames = round(count * every_s * RATE_HZ)
    return perform(part, notes, beats=count, frames=frames, bank=BANK, seed=seed)


def cut_out(stem: Audio, count: int, *, for_s: float = 0.5) -> list[Floats]:
    """Return the strokes of a stem, each from its own onset on."""
    sound, step = mono(stem), len(stem) // count
    rolled = np.roll(sound, RATE_HZ // 20)
    found = []
    for place in range(count):
        window = rolled[place * step : (place + 1) * step]
        onset = int(np.argmax(np.abs(window) > 0.1 * np.abs(window).max()))
        found.append(window[onset : onset + round(for_s * RATE_HZ)])
    return found


@pytest.mark.parametrize(("part", "apart_db"), [(part, 2.0 if part in KEYBOARDS else 0.8) for part in STRUCK])
def test_no_two_of_six_equal_strokes_are_alike(part: str, apart_db: float) -> None:
    """Real players never repeat a waveform (common practice, no source): likeness at most 0.9 on average.

    And the octave bands within 45 dB of the strongest differ, by 2 dB on average for the keyboards.
    """
    alike, apart = [], []
    for pitch in SEVERAL.get(part, (0,)):
        strokes = cut_out(equal_strokes(part, 6, every_s=3.0, pitch=pitch), 6)
        alike += [likeness(one, other) for one, other in combinations(strokes, 2)]
        levels = [band_levels_db(stroke) for stroke in strokes]
        heard = np.mean(levels, axis=0) > np.mean(levels, axis=0).max() - 45.0
        apart += [np.abs(one - other)[heard].mean() for one, other in combinations(levels, 2)]
    assert np.mean(alike) <= 0.9
    assert max(alike) < 0.99999
    assert np.mean(apart) >= apart_db


@pytest.mark.parametrize("part", STRUCK)
def test_equal_strokes_stay_equally_loud(part: str) -> None:
    """A stroke's energy varies as a careful player's does: below 2 dB (common practice, no source)."""
    energy = [np.square(stroke).sum() for stroke in cut_out(equal_strokes(part, 6, every_s=3.0), 6)]
    assert np.std(10.0 * np.log10(energy)) < 2.0


@pytest.mark.parametrize("part", STRUCK)
def test_a_stem_is_a_seamless_loop_free_of_dc(part: str) -> None:
    """The seam is no larger a step than the music's own; DC lies at least 60 dB below the stem's rms."""
    stem = equal_strokes(part, 4, every_s=0.6)
    assert stem.dtype == np.float32
    assert np.isfinite(stem).all()
    steps = np.abs(np.diff(stem, axis=0)).max(axis=0)
    assert (np.abs(stem[0] - stem[-1]) <= steps).all()
    rms = np.sqrt(np.mean(np.square(stem, dtype=np.float64)))
    assert np.abs(stem.mean(axis=0, dtype=np.float64)).max() < 1e-3 * rms


@pytest.mark.parametrize("part", ["marimba", "snare-line", "cymbals"])
def test_the_seed_decides_and_the_bank_does_not(part: str) -> None:
    """The same seed, in a bank full of other things or in none: the same samples; another seed: others."""
    fresh, tiny = NoteBank(), NoteBank(cap_bytes=600_000)
    notes = [Note(part, float(beat), 0.5, pitch_of(part), 0.3 + 0.1 * beat) for beat in range(6)]

    def play(bank: NoteBank, seed: int) -> Audio:
        return perform(part, notes, beats=6, frames=96_000, bank=bank, seed=seed)

    first = play(BANK, 3)
    play(BANK, 4)
    assert np.array_equal(first, play(BANK, 3))
    assert np.array_equal(first, play(fresh, 3))
    assert np.array_equal(first, play(tiny, 3))
    assert not np.array_equal(first, play(BANK, 4))


def test_a_tail_longer_than_the_loop_wraps_and_wraps_again() -> None:
    """Arithmetic: a loop's sum is its note's sum, folded; the energy of a long ring stays in a short loop."""
    note = [Note("cymbals", 0.0, 1.0, 1, 0.8)]
    long = perform("cymbals", note, beats=8, frames=8 * RATE_HZ, bank=BANK, seed=5)
    short = perform("cymbals", note, beats=1, frames=RATE_HZ, bank=BANK, seed=5)
    assert np.allclose(short, long.reshape(8, RATE_HZ, 2).sum(axis=0), atol=1e-5)


def test_players_wander_within_three_deviations_and_start_where_the_score_says() -> None:
    """Normal law, cut at three deviations: 6 ms means never more than 18 ms, and zero on average."""
    count = 100
    stem = mono(equal_strokes("xylophone", count, every_s=0.6, velocity=0.9))
    rolled = np.roll(stem, RATE_HZ // 10).reshape(count, -1)
    onsets = np.argmax(np.abs(rolled) > 0.02, axis=1) / RATE_HZ - 0.1
    assert np.abs(onsets).max() < 0.0195
    assert np.abs(onsets.mean()) < 0.0025
    assert 0.0035 < onsets.std() < 0.0085


def test_a_damped_note_stops_and_a_plain_one_rings() -> None:
    """A hand on the bar: 50 ms after the note's end nothing is left."""
    ends = {}
    for technique in ("plain", "damped"):
        notes = [Note("vibraphone", 0.0, 1.0, 60, 0.8, technique)]
        stem = perform("vibraphone", notes, beats=8, frames=4 * RATE_HZ, bank=BANK, seed=2)
        after = round((0.5 + 0.05 + 0.018 + 0.002) * RATE_HZ)
        ends[technique] = np.abs(stem[after : after + RATE_HZ]).max()
    assert ends["damped"] == 0.0
    assert ends["plain"] > 0.01


def test_striking_a_bar_again_stops_what_it_still_rang_but_not_other_bars() -> None:
    """One bar sounds once: its last stroke dies away once it is struck again."""
    lone = [Note("marimba", 0.0, 0.5, 48, 0.9)]
    again = [*lone, Note("marimba", 2.0, 0.5, 48, 0.01)]
    other = [*lone, Note("marimba", 2.0, 0.5, 72, 0.01)]
    tails = []
    for notes in (lone, again, other):
        stem = perform("marimba", notes, beats=8, frames=4 * RATE_HZ, bank=BANK, seed=2)
        tails.append(float(np.abs(stem[round(1.4 * RATE_HZ) : round(2.0 * RATE_HZ)]).max()))
    assert tails[1] < 0.1 * tails[0]
    assert tails[2] > 0.8 * tails[0]


def test_velocity_between_the_layers_still_counts() -> None:
    """Louder is louder: the level rises with every step of velocity, whatever layer it falls in."""
    velocities = np.linspace(0.2, 1.0, 9)
    levels = []
    for velocity in velocities:
        stems = [equal_strokes("timpani", 2, every_s=1.0, velocity=float(velocity), seed=s) for s in range(4)]
        levels.append(10.0 * np.log10(np.mean(np.square(stems))))
    assert all(high > low - 0.3 for low, high in pairwise(levels))
    assert 20.0 < levels[-1] - levels[0] < 30.0


def test_a_flams_main_stroke_falls_on_the_beat() -> None:
    """The rudiment's definition: the grace note comes before the beat."""
    stems = {}
    for technique in ("plain", "flam"):
        notes = [Note("snare-line", 1.0, 0.5, 0, 0.8, technique)]
        stem = mono(perform("snare-line", notes, beats=4, frames=2 * RATE_HZ, bank=BANK, seed=6))
        power = np.convolve(stem**2, np.ones(240), mode="same")
        stems[technique] = int(np.argmax(power))
    assert abs(stems["flam"] - stems["plain"]) < 0.012 * RATE_HZ


def test_an_empty_part_is_silence() -> None:
    stem = perform("marimba", [], beats=4, frames=48_000, bank=BANK, seed=1)
    assert stem.shape == (48_000, 2)
    assert not stem.any()


def test_a_stem_is_in_tune_whatever_is_mixed() -> None:
    """ISO 16: blending takes must not bend the pitch."""
    stem = mono(equal_strokes("marimba", 4, every_s=1.0))
    power = np.abs(np.fft.rfft(stem * np.hanning(len(stem)), 1 << 19))
    found_hz = np.argmax(power) * RATE_HZ / (1 << 19)
    assert abs(1_200.0 * np.log2(found_hz / midi_to_hz(60))) < 3.0


def test_every_part_has_a_voice() -> None:
    assert set(VOICES) == set(PART_BY_KEY)


@pytest.mark.parametrize(
    ("part", "pitch", "technique"),
    [("trumpets", 70, "plain"), ("vibraphone", 65, "damped"), ("bass-guitar", 40, "plain")],
)
def test_a_note_that_is_cut_short_fades_and_does_not_click(part: str, pitch: int, technique: str) -> None:
    """Its last 2 ms lie 40 dB below its peak: a hard cut leaves them near the note's own level."""
    note = Note(part, 0.5, 1.0, pitch, 0.8, technique)
    stem = perform(part, [note], beats=8, frames=384_000, bank=NoteBank(), seed=1)
    level = np.abs(stem).max(axis=1)
    end = np.flatnonzero(level > 1e-7)[-1]
    assert level[end - 96 : end + 1].max() < 0.01 * level.max()


@pytest.mark.parametrize("part", HELD)
def test_a_note_held_longer_than_any_is_made_fades_and_does_not_click(part: str) -> None:
    """By the same measure: where the longest that is made ends, it has faded."""
    note = Note(part, 0.5, 10.0, 48, 0.8)
    stem = perform(part, [note], beats=12, frames=12 * RATE_HZ, bank=NoteBank(), seed=1)
    level = np.abs(stem).max(axis=1)
    end = np.flatnonzero(level > 1e-7)[-1]
    assert level[end - 96 : end + 1].max() < 0.01 * level.max()


@pytest.mark.parametrize(
    ("part", "above_hz"), [("trumpets", 3200.0), ("tubas", 600.0), ("woodwinds", 3200.0)]
)
def test_what_is_played_louder_is_brighter_in_the_stem(part: str, above_hz: float) -> None:
    """Luce and Clark (1967) on brass: the spectrum opens with the dynamic above the cutoff (3 dB: from memory).

    The woodwinds do likewise (common practice, no source). However few the layers that notes are made at, a
    soft note and a loud one differ in timbre.
    """
    share_db = []
    for velocity in (0.4, 0.9):
        note = Note(part, 0.5, 2.0, 60, velocity)
        stem = perform(part, [note], beats=4, frames=4 * RATE_HZ, bank=BANK, seed=1)
        power = np.square(np.abs(np.fft.rfft(stem[:, 0].astype(np.float64))))
        high = np.fft.rfftfreq(len(stem), 1.0 / RATE_HZ) > above_hz
        share_db.append(10.0 * np.log10(power[high].sum() / power.sum()))
    assert share_db[1] > share_db[0] + 3.0
