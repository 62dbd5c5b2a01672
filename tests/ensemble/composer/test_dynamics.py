"""Dynamics: arcs, accents over taps, and an average that holds."""

import numpy as np
import pytest

from trainer.ensemble.composer.dice import Dice
from trainer.ensemble.composer.dynamics import ARCS, LOUDEST, SOFTEST, draw_shapes, velocities
from trainer.ensemble.composer.events import Event
from trainer.ensemble.composer.plan import draw_plan
from trainer.ensemble.parts import SECTIONS
from trainer.ensemble.score import Score


def test_arcs_run_through_the_whole_loop_and_stay_between_silence_and_full() -> None:
    for _, arc in ARCS:
        places, levels = zip(*arc, strict=True)
        assert places[0] == 0
        assert places[-1] == 1
        assert list(places) == sorted(places)
        assert all(0 < level <= 1 for level in levels)


@pytest.mark.parametrize("seed", range(10))
def test_one_section_is_in_front_in_every_phrase(seed: int) -> None:
    dice = Dice(np.random.default_rng(seed))
    plan = draw_plan(dice)
    shapes = draw_shapes(dice, plan)
    assert set(shapes) == {section.key for section in SECTIONS}
    for phrase in plan.phrases:
        levels = sorted(shape[phrase.start] for shape in shapes.values())
        assert levels[-1] > levels[-2]


def test_velocity_grows_with_stress_and_the_mean_power_is_the_parts_own() -> None:
    plan = draw_plan(Dice(np.random.default_rng(1)))
    flat = [1.0] * plan.ticks
    events = [Event(tick, 6, 0, 1.0 if tick % 48 == 6 else 0.6) for tick in range(6, plan.ticks, 12)]
    played = velocities("snare-line", events, flat)
    assert np.sqrt(np.mean(np.square(played))) == pytest.approx(0.58, rel=0.01)
    ratios = {round(velocity / event.stress, 9) for velocity, event in zip(played, events, strict=True)}
    assert len(ratios) == 1, "in a flat shape, a velocity is in proportion to its stress"


@pytest.mark.parametrize("seed", range(10))
def test_bar_lines_weigh_more_than_beats_and_beats_more_than_offbeats(seed: int) -> None:
    """The hierarchy of metre: downbeat, beat, offbeat (any book of music theory)."""
    dice = Dice(np.random.default_rng(seed))
    plan = draw_plan(dice)
    shape = np.array(draw_shapes(dice, plan)["brass"])
    assert np.mean(shape[:: plan.bar_ticks] / shape[2 :: plan.bar_ticks]) > 1.05
    assert np.mean(shape[24 :: plan.bar_ticks] / shape[26 :: plan.bar_ticks]) > 1.03


def test_no_velocity_leaves_its_bounds() -> None:
    plan = draw_plan(Dice(np.random.default_rng(2)))
    events = [Event(0, 6, 0, 50.0), *(Event(tick, 6, 0, 0.01) for tick in range(6, plan.ticks, 6))]
    played = velocities("snare-line", events, [1.0] * plan.ticks)
    assert max(played) == LOUDEST
    assert min(played) == SOFTEST


def test_snare_accents_stand_out_of_the_taps(field_shows: list[Score]) -> None:
    """Accents rise well over taps in a drum line: here 8 dB at the median (common practice, no source)."""
    contrasts = []
    for score in field_shows:
        levels = sorted(note.velocity for note in score.notes_of("snare-line") if note.technique == "plain")
        contrasts.append(20 * np.log10(np.percentile(levels, 95) / np.percentile(levels, 20)))
    assert np.median(contrasts) >= 8.0
