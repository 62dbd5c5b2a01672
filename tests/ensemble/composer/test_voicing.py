"""Voicings and lines: the shortest way, close harmony, no leap over an octave."""

from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from trainer.ensemble.composer.events import Tone
from trainer.ensemble.composer.pitches import EVERYWHERE, Range, folded, nearest, stepped
from trainer.ensemble.composer.voicing import led, singable, transposed, under

C_MAJOR, F_MAJOR, G_SEVENTH = (0, 4, 7), (5, 9, 0), (7, 11, 2, 5)
TREBLE = Range(55, 79)
chords = st.lists(st.integers(0, 11), min_size=4, max_size=4, unique=True).map(tuple)
pitches = st.integers(36, 96)


def test_common_tones_stay_and_the_rest_move_by_step() -> None:
    """The law of the shortest way, in any harmony book: C-E-G to F major is C-F-A."""
    assert led((60, 64, 67), F_MAJOR, TREBLE) == (60, 65, 69)


def test_the_leading_note_rises_to_the_tonic() -> None:
    """From the dominant seventh (B-D-F-G) to C major, B rises to C and F falls to E: any harmony book."""
    assert {60, 64} <= set(led((59, 62, 65), C_MAJOR, TREBLE))


@given(previous=st.lists(st.integers(60, 74), min_size=3, max_size=3, unique=True), tones=chords)
def test_no_other_assignment_of_tones_to_voices_is_shorter(
    previous: list[int], tones: tuple[int, ...]
) -> None:
    """Against every combination of pitches in the range, tried one by one."""
    voicing = led(tuple(previous), tones, TREBLE)
    assert len(set(voicing)) == 3
    assert {pitch % 12 for pitch in voicing} <= set(tones)
    assert all(TREBLE.low <= pitch <= TREBLE.high for pitch in voicing)
    candidates = [pitch for pitch in range(TREBLE.low, TREBLE.high + 1) if pitch % 12 in tones]
    shortest = min(
        sum(abs(new - old) for new, old in zip(tried, previous, strict=True))
        for tried in product(candidates, repeat=3)
        if len({pitch % 12 for pitch in tried}) == 3
    )
    assert sum(abs(a - b) for a, b in zip(voicing, sorted(previous), strict=True)) <= shortest


def test_close_harmony_takes_the_next_chord_tones_below() -> None:
    """Close position: the voices under the tune take the nearest chord tones (any arranging book)."""
    assert under(79, C_MAJOR, voices=3, lowest=52) == (72, 76, 79)
    assert under(74, G_SEVENTH, voices=2, lowest=52) == (71, 74)


@given(pitch=pitches, tones=chords, steps=st.integers(-6, 6))
def test_steps_on_a_ladder_land_on_it_and_come_back(pitch: int, tones: tuple[int, ...], steps: int) -> None:
    rung = nearest(pitch, tones)
    there = stepped(rung, steps, tones)
    assert there % 12 in tones
    assert stepped(there, -steps, tones) == rung


@given(pitch=pitches, tone=st.integers(0, 11))
def test_the_nearest_of_a_pitch_class_is_within_a_tritone(pitch: int, tone: int) -> None:
    assert abs(nearest(pitch, (tone,), EVERYWHERE) - pitch) <= 6


@given(pitch=st.integers(0, 127), low=st.integers(24, 80))
def test_folding_keeps_the_pitch_class_and_finds_the_range(pitch: int, low: int) -> None:
    within = Range(low, low + 12)
    assert (folded(pitch, within) - pitch) % 12 == 0
    assert within.low <= folded(pitch, within) <= within.high


@given(line=st.lists(st.integers(57, 81), min_size=2, max_size=40))
def test_a_line_made_singable_leaps_no_octave_and_keeps_its_notes_and_its_range(line: list[int]) -> None:
    sung = singable([Tone(place, 1, pitch, ".") for place, pitch in enumerate(line)])
    assert [tone.pitch % 12 for tone in sung] == [pitch % 12 for pitch in line]
    assert all(57 <= tone.pitch <= 81 for tone in sung)
    for before, after in pairwise(sung):
        assert abs(after.pitch - before.pitch) <= 12


def test_a_tune_takes_the_octave_that_fits() -> None:
    tune = [Tone(0, 24, 72, "!"), Tone(24, 24, 76, "."), Tone(48, 24, 83, ".")]
    moved = transposed(tune, (-12, 0), Range(57, 81), beside=72)
    assert [tone.pitch for tone in moved] == [60, 64, 71]
