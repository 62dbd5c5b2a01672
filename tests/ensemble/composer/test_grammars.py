"""The tables of rhythm, form and rudiments: note values must add up."""

from itertools import pairwise

import numpy as np
import pytest

from trainer.ensemble.composer.dice import Dice
from trainer.ensemble.composer.drumline import BASS_MARKS, SNARE_MARKS, SPLITS, SWEEPS, TENOR_MARKS
from trainer.ensemble.composer.events import TICKS_PER_BEAT, Pulse
from trainer.ensemble.composer.grammars import LENGTHS, STABS, STICK_WAYS, SUSTAINS, TUNE, Grammar
from trainer.ensemble.composer.kit import GROOVES
from trainer.ensemble.composer.plan import BAR_COUNTS, FORMS, draw_plan
from trainer.ensemble.composer.rhythm import MARKS, divided, loop_rhythm, sounding
from trainer.ensemble.composer.rudiments import RUDIMENTS, STICKINGS, adorned, draw_vocabulary
from trainer.ensemble.parts import PART_BY_KEY

GRAMMARS: dict[str, Grammar] = {
    "tune": TUNE,
    "stabs": STABS,
    "sustains": SUSTAINS,
    **{f"sticks {place}": grammar for place, (_, grammar) in enumerate(STICK_WAYS)},
}


@pytest.mark.parametrize(
    ("symbol", "share_of_a_whole_note"),
    [
        ("four", 1), ("three", 3 / 4), ("half", 1 / 2), ("long", 3 / 8), ("beat", 1 / 4), ("dotted", 3 / 16),
        ("broad", 1 / 6), ("eighth", 1 / 8), ("third", 1 / 12), ("sixteenth", 1 / 16), ("sixth", 1 / 24),
    ],
)  # fmt: skip
def test_lengths_are_note_values(symbol: str, share_of_a_whole_note: float) -> None:
    """Common notation: a dot adds half, a triplet puts three in the time of two."""
    assert LENGTHS[symbol] / (4 * TICKS_PER_BEAT) == pytest.approx(share_of_a_whole_note)


@pytest.mark.parametrize("grammar", GRAMMARS.values(), ids=GRAMMARS)
def test_every_row_fills_its_length_exactly(grammar: Grammar) -> None:
    """Common notation: the note values of a bar add up to its time signature."""
    for symbol, rows in grammar.items():
        for weight, row in rows:
            assert weight > 0
            if row not in MARKS:
                assert sum(LENGTHS[child] for child in row.split()) == LENGTHS[symbol], (symbol, row)


@pytest.mark.parametrize("grammar", GRAMMARS.values(), ids=GRAMMARS)
@pytest.mark.parametrize("bar", ["four", "three"])
def test_a_divided_bar_is_full_whatever_the_dice_say(grammar: Grammar, bar: str) -> None:
    dice = Dice(np.random.default_rng(5))
    for _ in range(100):
        ends_at = 0
        for pulse in divided(dice, grammar, bar):
            assert pulse.tick == ends_at
            ends_at += pulse.ticks
        assert ends_at == LENGTHS[bar]


def test_a_tie_lengthens_its_note_and_a_rest_is_silent() -> None:
    """Common notation: a quarter tied to an eighth lasts three eighths."""
    heard = sounding(
        [Pulse(0, 24, "!"), Pulse(24, 12, "_"), Pulse(36, 12, "-"), Pulse(48, 24, "_"), Pulse(72, 24, ".")]
    )
    assert heard == [Pulse(0, 36, "!"), Pulse(72, 24, ".")]


@pytest.mark.parametrize("seed", range(40))
def test_a_loop_of_rhythm_begins_on_its_first_beat_and_never_overlaps(seed: int) -> None:
    dice = Dice(np.random.default_rng(seed))
    plan = draw_plan(dice)
    for grammar in (TUNE, STABS, SUSTAINS):
        pulses = loop_rhythm(dice, grammar, plan)
        assert pulses[0].tick == 0
        for before, after in pairwise(pulses):
            assert before.tick + before.ticks <= after.tick
        assert pulses[-1].tick + pulses[-1].ticks <= plan.ticks


def test_forms_are_as_long_as_they_say() -> None:
    assert set(FORMS) == {bars for _, bars in BAR_COUNTS}
    for bars, forms in FORMS.items():
        for _, form in forms:
            words = form.split()
            assert sum(int(word[1:]) for word in words) == bars
            assert len({word for word in words if word[0] == "A"}) == 1, "phrases with one label are alike"


@pytest.mark.parametrize(
    ("name", "strokes"),
    [("five-stroke roll", 5), ("seven-stroke roll", 7), ("nine-stroke roll", 9), ("diddle", 2)],
)
def test_rolls_have_the_strokes_they_are_named_for(name: str, strokes: int) -> None:
    """Percussive Arts Society, International Drum Rudiments: rolls end on an accent (from memory)."""
    spelled = next(rudiment.spelled for rudiment in RUDIMENTS if rudiment.name == name).rstrip("-")
    assert len(spelled) == strokes
    assert spelled.endswith("!") == (name != "diddle")


@pytest.mark.parametrize("sticking", ["!...", "!.!...", "!.....", "F.."])
def test_the_paradiddles_and_the_flam_accent_are_known(sticking: str) -> None:
    """Percussive Arts Society: single and double paradiddle, paradiddle-diddle, flam accent (from memory)."""
    assert sticking in {marks for _, marks in STICKINGS}


def test_every_mark_a_line_can_meet_has_a_stroke() -> None:
    spelled = {mark for rudiment in RUDIMENTS for mark in rudiment.spelled} | {
        mark for _, marks in STICKINGS for mark in marks
    }
    assert spelled - {"-"} <= set(SNARE_MARKS)
    for part, marks in (
        ("snare-line", SNARE_MARKS),
        ("tenor-line", TENOR_MARKS),
        ("bass-drum-line", BASS_MARKS),
    ):
        assert {technique for _, technique in marks.values()} - {"plain"} == set(PART_BY_KEY[part].techniques)


def test_ways_around_the_drums_stay_on_the_drums() -> None:
    for part, ways in (("tenor-line", SWEEPS), ("bass-drum-line", SPLITS)):
        used = {drum for _, way in ways for drum in way}
        assert used == set(range(len(PART_BY_KEY[part].drums)))


def test_grooves_divide_their_bar_on_the_grid() -> None:
    for beats, grooves in GROOVES.items():
        for _, groove in grooves:
            for row in (groove.cymbals, groove.snare):
                assert beats * TICKS_PER_BEAT % len(row) == 0, groove.name
                assert set(row) <= set("Xxoc.")


@pytest.mark.parametrize("seed", range(20))
def test_rudiments_keep_time(seed: int) -> None:
    dice = Dice(np.random.default_rng(seed))
    plan = draw_plan(dice)
    plain = loop_rhythm(dice, STICK_WAYS[0][1], plan)
    played = adorned(dice, plain, draw_vocabulary(dice), plan)
    assert {pulse.tick for pulse in plain} - {pulse.tick for pulse in played} == set()
    for before, after in pairwise(played):
        assert before.tick + before.ticks <= after.tick
        assert (after.tick - before.tick) * 60 / plan.tempo_bpm / TICKS_PER_BEAT > 0.035
