"""What holds for every loop the composer writes, whatever the seed and the line-up."""

import re
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from trainer.ensemble.composer import compose
from trainer.ensemble.parts import LINE_UP_BY_KEY, LINE_UPS, PART_BY_KEY, LineUp
from trainer.ensemble.score import Note, Score

SOUNDING_RANGES = {
    "marimba": ("C2", "C7"),
    "vibraphone": ("F3", "F6"),
    "xylophone": ("F4", "C8"),
    "glockenspiel": ("F5", "F8"),
    "timpani": ("C2", "C4"),
    "trumpets": ("E3", "C6"),
    "mellophones": ("A3", "A5"),
    "baritones": ("E2", "Bb4"),
    "tubas": ("Bb0", "F3"),
    "woodwinds": ("C4", "C7"),
    "bass-guitar": ("E1", "G3"),
    "sub": ("C1", "C2"),
    "synth-pad": ("C3", "C5"),
    "narration": ("G2", "E3"),
}
ONE_NOTE_AT_A_TIME = ("tubas", "woodwinds", "bass-guitar", "sub", "narration")
LED_IN_CHORDS = ("trumpets", "mellophones", "baritones", "tubas", "woodwinds", "synth-pad")


def midi_of(name: str) -> int:
    """Scientific pitch notation: C4 is middle C, MIDI note 60."""
    found = re.fullmatch(r"([A-G])(b?)(\d)", name)
    assert found
    letter, flat, octave = found.groups()
    return (
        12 * (int(octave) + 1) + {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[letter] - len(flat)
    )


def chords_of(score: Score, part: str) -> list[list[int]]:
    """Return the pitches that start together, in order of time."""
    chords: dict[float, list[int]] = {}
    for note in score.notes_of(part):
        chords.setdefault(note.start_beat, []).append(note.pitch)
    return [sorted(chords[beat]) for beat in sorted(chords)]


def rms_velocity(notes: tuple[Note, ...]) -> float:
    return float(np.sqrt(np.mean([note.velocity**2 for note in notes])))


def test_the_names_of_notes_are_read_as_midi_numbers_them() -> None:
    """MIDI 1.0 and ISO 16: A4 is note 69; middle C is 60."""
    assert (midi_of("A4"), midi_of("C4"), midi_of("Bb4")) == (69, 60, 70)


@pytest.mark.parametrize("line_up", LINE_UPS, ids=lambda line_up: line_up.key)
def test_every_part_of_the_line_up_plays_and_no_other(loops: dict[str, list[Score]], line_up: LineUp) -> None:
    for score in loops[line_up.key]:
        assert set(score.parts) == set(line_up.parts)


def test_a_loop_is_whole_bars_of_6_to_14_seconds_at_a_marching_tempo(loops: dict[str, list[Score]]) -> None:
    """An excerpt is a loopable 6-14 s; tempi are common practice, no source."""
    for score in (score for scores in loops.values() for score in scores):
        assert 6.0 <= score.duration_s <= 14.0
        assert 104 <= score.tempo_bpm <= 176
        assert 2 <= score.bars <= 8
        assert score.beats_per_bar in (3, 4)


def test_metres_are_mostly_four(field_shows: list[Score]) -> None:
    metres = Counter(score.beats_per_bar for score in field_shows)
    assert metres[4] > 2 * metres[3] > 0


@pytest.mark.parametrize("part", SOUNDING_RANGES)
def test_every_note_lies_in_the_range_its_instrument_sounds_in(field_shows: list[Score], part: str) -> None:
    """Mallets and timpani: the ranges at trpercussion.com. The others: common practice, no source."""
    low, high = map(midi_of, SOUNDING_RANGES[part])
    pitches = {note.pitch for score in field_shows for note in score.notes_of(part)}
    assert pitches
    assert low <= min(pitches)
    assert max(pitches) <= high


@pytest.mark.parametrize("line_up", LINE_UPS, ids=lambda line_up: line_up.key)
def test_the_same_seed_gives_the_same_score(line_up: LineUp) -> None:
    for seed in (0, 7, 2**40):
        once, again = (compose(np.random.default_rng(seed), line_up=line_up) for _ in range(2))
        assert once == again


def test_a_generator_goes_on_to_another_score() -> None:
    rng = np.random.default_rng(3)
    first, second = (compose(rng, line_up=LINE_UPS[0]) for _ in range(2))
    assert first.notes != second.notes


def test_line_ups_share_the_music_of_the_parts_they_share(loops: dict[str, list[Score]]) -> None:
    for field, indoor in zip(loops["field-show"], loops["indoor-percussion"], strict=False):
        for part in ("snare-line", "marimba", "sub"):
            assert field.notes_of(part) == indoor.notes_of(part)


@pytest.mark.parametrize("part", ONE_NOTE_AT_A_TIME)
def test_a_single_voice_sounds_one_note_at_a_time(field_shows: list[Score], part: str) -> None:
    for score in field_shows:
        for before, after in pairwise(score.notes_of(part)):
            assert before.start_beat + before.length_beats <= after.start_beat + 1e-9


def test_no_drum_or_string_is_struck_twice_at_once(field_shows: list[Score]) -> None:
    for score in field_shows:
        struck = Counter((note.part, note.start_beat, note.pitch) for note in score.notes)
        assert max(struck.values()) == 1


@pytest.mark.parametrize("part", LED_IN_CHORDS)
def test_no_part_leaps_over_an_octave_even_where_the_loop_goes_round(
    field_shows: list[Score], part: str
) -> None:
    """Part-writing as taught in harmony books: no melodic leap in a part exceeds the octave (from memory)."""
    for score in field_shows:
        chords = chords_of(score, part)
        for before, after in pairwise([*chords, chords[0]]):
            assert abs(after[-1] - before[-1]) <= 12


def test_brass_choirs_play_two_or_three_voices_and_never_a_semitone_apart(field_shows: list[Score]) -> None:
    for score in field_shows:
        for part in ("trumpets", "mellophones", "baritones"):
            for chord in chords_of(score, part):
                assert len(chord) <= 3
                assert all(high - low >= 3 for low, high in pairwise(chord))


def test_regression_the_full_line_up_plays_50_to_130_notes_a_second(field_shows: list[Score]) -> None:
    rates = [len(score.notes) / score.duration_s for score in field_shows]
    assert min(rates) >= 50
    assert 75 <= float(np.median(rates)) <= 110
    assert max(rates) <= 150


def test_regression_no_part_waits_longer_than_three_bars(loops: dict[str, list[Score]]) -> None:
    for score in (score for scores in loops.values() for score in scores):
        for part in score.parts:
            starts = [note.start_beat for note in score.notes_of(part)]
            waits = [after - before for before, after in pairwise([*starts, starts[0] + score.beats])]
            assert max(waits) <= 3 * score.beats_per_bar, part


def test_regression_the_narrator_speaks_for_more_than_half_of_the_loop(field_shows: list[Score]) -> None:
    for score in field_shows:
        spoken = sum(note.length_beats for note in score.notes_of("narration"))
        assert spoken / score.beats > 0.5


def test_the_narrator_breathes_and_falls(field_shows: list[Score]) -> None:
    """Declination: a spoken phrase ends lower than it begins (from memory, phonetics textbooks)."""
    for score in field_shows:
        phrase: list[Note] = []
        for note in score.notes_of("narration"):
            phrase.append(note)
            if note.technique == "falling":
                assert phrase[-1].pitch <= phrase[0].pitch
                phrase = []


def test_regression_most_of_the_sub_lies_at_or_below_g1(field_shows: list[Score]) -> None:
    deep = [note.pitch <= 31 for score in field_shows for note in score.notes_of("sub")]
    assert float(np.mean(deep)) > 0.75


@pytest.mark.parametrize("part", PART_BY_KEY)
def test_regression_a_part_keeps_its_level_from_loop_to_loop(field_shows: list[Score], part: str) -> None:
    levels = [rms_velocity(score.notes_of(part)) for score in field_shows]
    assert float(np.std(levels) / np.mean(levels)) <= 0.1


@pytest.mark.parametrize("part", PART_BY_KEY)
def test_regression_velocities_spread_from_soft_to_loud(field_shows: list[Score], part: str) -> None:
    velocities = [note.velocity for score in field_shows for note in score.notes_of(part)]
    soft, loud = np.percentile(velocities, (2, 98))
    assert soft <= 0.35
    assert loud >= 0.8


def test_every_technique_of_every_part_is_heard(field_shows: list[Score]) -> None:
    heard = {(note.part, note.technique) for score in field_shows for note in score.notes}
    asked = {
        (part, technique)
        for part in LINE_UP_BY_KEY["field-show"].parts
        for technique in PART_BY_KEY[part].techniques
    }
    assert asked <= heard


def test_every_drum_of_every_part_is_struck(field_shows: list[Score]) -> None:
    struck = {(note.part, note.pitch) for score in field_shows for note in score.notes}
    for part in PART_BY_KEY.values():
        for drum in range(len(part.drums)):
            assert (part.key, drum) in struck
