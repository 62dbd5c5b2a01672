"""Keys, chords and progressions, against the spelling of any harmony book."""

import numpy as np
import pytest

from trainer.ensemble.composer.dice import Dice
from trainer.ensemble.composer.harmony import FUNCTIONS, MODES, NOTE_NAMES, RULES, Key, progression
from trainer.ensemble.composer.plan import draw_plan

MODE_BY_NAME = {mode.name: mode for _, mode in MODES}
PITCH_CLASS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


def pitch_classes(names: str) -> tuple[int, ...]:
    return tuple((PITCH_CLASS[name[0]] + name.count("#") - name.count("b")) % 12 for name in names.split())


@pytest.mark.parametrize(
    ("mode", "tonic", "spelled"),
    [
        ("major", "Bb", "Bb C D Eb F G A"),
        ("minor", "C", "C D Eb F G Ab Bb"),
        ("dorian", "D", "D E F G A B C"),
        ("lydian", "F", "F G A B C D E"),
        ("mixolydian", "G", "G A B C D E F"),
    ],
)
def test_scales_are_spelled_as_in_the_books(mode: str, tonic: str, spelled: str) -> None:
    """The church modes on the white keys, B flat major, C natural minor: any book of harmony."""
    key = Key(pitch_classes(tonic)[0], MODE_BY_NAME[mode])
    assert key.chord(0, colour_steps=6).scale == pitch_classes(spelled)


@pytest.mark.parametrize(
    ("mode", "tonic", "degree", "spelled"),
    [
        ("major", "C", 0, "C E G B"),
        ("major", "C", 4, "G B D F"),
        ("major", "C", 1, "D F A C"),
        ("minor", "A", 0, "A C E G"),
        ("minor", "A", 4, "E G# B D"),
        ("minor", "A", 6, "G B D F"),
        ("dorian", "D", 3, "G B D F"),
    ],
)
def test_seventh_chords_are_thirds_piled_on_a_degree(
    mode: str, tonic: str, degree: int, spelled: str
) -> None:
    """Diatonic seventh chords; the dominant of a minor key takes the raised seventh degree."""
    chord = Key(pitch_classes(tonic)[0], MODE_BY_NAME[mode]).chord(degree, colour_steps=6)
    assert chord.tones == pitch_classes(spelled)
    assert chord.triad == pitch_classes(spelled)[:3]


def test_a_key_is_named_in_words() -> None:
    assert Key(3, MODE_BY_NAME["lydian"]).name == "E flat lydian"
    assert len(NOTE_NAMES) == 12


def test_no_chord_is_diminished() -> None:
    """Loops of popular music and marching books avoid the diminished triad (common practice, no source)."""
    for mode in MODE_BY_NAME.values():
        for table in mode.degrees.values():
            for _, degree in table:
                root, _, fifth = Key(0, mode).chord(degree, colour_steps=6).triad
                assert (fifth - root) % 12 == 7, (mode.name, degree)


def test_the_rules_name_only_rules_and_every_loop_ends_leading_back() -> None:
    ends = {"loop"}
    for _ in range(len(RULES)):
        ends |= {children[-1] for symbol in ends & set(RULES) for _, children in RULES[symbol]}
    assert ends - {"loop", "turn"} == {"leading"}
    assert {child for rows in RULES.values() for _, row in rows for child in row} <= set(RULES)
    assert set(FUNCTIONS) <= set(RULES)


@pytest.mark.parametrize("bars", range(2, 9))
@pytest.mark.parametrize("halves", [True, False])
def test_a_progression_fills_its_bars_and_does_not_come_to_rest(bars: int, halves: bool) -> None:
    """A loop must lead back to its beginning: its last chord is never the tonic."""
    dice = Dice(np.random.default_rng(bars))
    for _ in range(40):
        key = Key(0, dice.weighted(MODES))
        chords = progression(dice, key, bars=bars, halves=halves)
        assert sum(length for length, _ in chords) == bars
        assert all(length >= (0.5 if halves else 1.0) for length, _ in chords)
        assert chords[-1][1].root != key.tonic


@pytest.mark.parametrize("seed", range(100))
def test_chords_follow_one_another_without_a_gap(seed: int) -> None:
    plan = draw_plan(Dice(np.random.default_rng(seed)))
    ends_at = 0
    for span in plan.spans:
        assert span.start == ends_at
        assert plan.chord_at(span.start) is plan.chord_at(span.start + span.ticks - 1) is span.chord
        ends_at += span.ticks
    assert ends_at == plan.ticks == plan.phrases[-1].end
    assert all(0 <= hit < plan.ticks for hit in plan.hits)
