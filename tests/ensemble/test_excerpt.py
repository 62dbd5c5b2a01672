"""Excerpts: who is in them, the mix with changed stems against mixing everything again, what is kept."""

import numpy as np
import pytest

from trainer.dsp import excitation
from trainer.dsp.level import mix_of
from trainer.dsp.octave_bands import band_powers_over_time
from trainer.ensemble.excerpt import CONTRIBUTIONS_KEPT, SPARSE, Excerpt
from trainer.ensemble.mixdown import bus
from trainer.ensemble.rooms import DRY, GYM
from trainer.ensemble.score import Note, Score
from trainer.sound import Sound

PARTS = ("marimba", "sub", "snare-line", "trumpets", "tubas")
FRAMES = 96_000


def noise_excerpt() -> Excerpt:
    rng = np.random.default_rng(11)
    stems = {part: Sound((0.05 * rng.standard_normal((FRAMES, 2))).astype(np.float32)) for part in PARTS}
    return Excerpt("noise", 1, "noise", GYM, stems)


def louder(sound: Sound) -> Sound:
    return Sound(sound.samples * np.float32(1.7))


@pytest.mark.parametrize("changed", [("trumpets",), ("marimba", "sub", "tubas"), PARTS])
def test_changing_some_stems_is_the_same_as_mixing_all_again(changed: tuple[str, ...]) -> None:
    """Against the full remix, to -120 dB: the bus is linear."""
    excerpt = noise_excerpt()
    stems = {part: louder(excerpt.stems[part]) for part in changed}
    again = bus(dict(excerpt.stems) | stems, GYM).samples.astype(np.float64)
    error = np.square(excerpt.mix_with(stems).samples - again).mean() / np.square(again).mean()
    assert 10.0 * np.log10(error) < -120.0


def test_a_mix_with_nothing_changed_is_the_plain_mix() -> None:
    """The same object: it is worked out once."""
    excerpt = noise_excerpt()
    assert excerpt.mix_with({}) is excerpt.mix is excerpt.through_bus("mix")


def test_targets_name_their_parts() -> None:
    """The mix, a section, a part; in the ensemble's order."""
    excerpt = noise_excerpt()
    assert excerpt.parts_in("mix") == PARTS
    assert excerpt.parts_in("brass") == ("trumpets", "tubas")
    assert excerpt.parts_in("snare-line") == ("snare-line",)
    assert excerpt.sections == ("front-ensemble", "electronics", "battery", "brass")


@pytest.mark.parametrize("target", ["woodwinds", "kazoo"])
def test_a_target_that_is_not_there_is_named(target: str) -> None:
    """The error says what came and what was allowed."""
    with pytest.raises(ValueError, match=f"no '{target}' in this excerpt, but: mix, marimba"):
        noise_excerpt().parts_in(target)


def test_sections_add_up_to_the_mix() -> None:
    """The bus is linear: the sum of what the sections contribute is the mix, to -110 dB."""
    excerpt = noise_excerpt()
    total = sum(excerpt.through_bus(section).samples.astype(np.float64) for section in excerpt.sections)
    error = np.square(total - excerpt.mix.samples).mean() / np.square(total).mean()
    assert 10.0 * np.log10(error) < -110.0


def test_band_powers_are_those_of_what_a_target_contributes() -> None:
    """The dsp room's own measure of it, worked out once."""
    excerpt = noise_excerpt()
    powers = excerpt.band_powers_over_time("brass")
    assert np.array_equal(powers, band_powers_over_time(excerpt.through_bus("brass")))
    assert excerpt.band_powers_over_time("brass") is powers
    assert powers.shape[1] == 10


def test_another_room_is_another_mix_of_the_same_stems() -> None:
    """The stems are shared, the mix is not."""
    excerpt = noise_excerpt()
    moved = excerpt.in_room(DRY)
    assert moved.stems is excerpt.stems
    assert not np.array_equal(moved.mix.samples, excerpt.mix.samples)
    assert excerpt.in_room(GYM) is excerpt


def test_stems_of_different_lengths_are_refused() -> None:
    """One clear sentence."""
    stems = {"trumpets": Sound.silence(100), "tubas": Sound.silence(101)}
    with pytest.raises(ValueError, match="of one length"):
        Excerpt("x", 0, "x", GYM, stems)


def test_a_stem_of_no_known_part_is_refused() -> None:
    """One clear sentence."""
    with pytest.raises(ValueError, match="no part 'kazoo'"):
        Excerpt("x", 0, "x", GYM, {"kazoo": Sound.silence(100)})


def test_facts_come_from_the_score_where_there_is_one() -> None:
    """A recording has no tempo."""
    score = Score("x", 120.0, 4, 2, (Note("trumpets", 0.0, 1.0, 60, 0.5),))
    excerpt = Excerpt("x", 0, "x", GYM, {"trumpets": Sound.silence(192_000)}, score)
    assert (excerpt.tempo_bpm, excerpt.bars, excerpt.duration_s) == (120.0, 2, 4.0)
    assert noise_excerpt().tempo_bpm is None
    assert noise_excerpt().bars is None
    assert noise_excerpt().frames == FRAMES


def test_what_the_last_few_targets_contribute_is_kept() -> None:
    fresh = noise_excerpt()
    first, *others = fresh.parts[: CONTRIBUTIONS_KEPT + 1]
    kept = fresh.through_bus(first)
    assert fresh.through_bus(first) is kept
    for part in others[:-1]:
        fresh.through_bus(part)
    assert fresh.through_bus(first) is kept  # asked for again: the last to go
    fresh.through_bus(others[-1])
    fresh.through_bus("mix")
    assert fresh.through_bus(first) is kept
    assert len(fresh._contributions) == CONTRIBUTIONS_KEPT
    assert others[0] not in fresh._contributions


def test_how_a_target_is_heard_in_the_mix_is_worked_out_once() -> None:
    excerpt = noise_excerpt()
    part = excerpt.parts[0]
    found = excerpt.heard_contribution(part)
    assert excerpt.heard_contribution(part) is found
    spectra = excitation.spectra_of(excerpt.through_bus(part))
    assert np.array_equal(found.power, excitation.powers_of(spectra))
    assert np.array_equal(
        found.cross, excitation.contribution_of(spectra, excitation.spectra_of(excerpt.mix)).cross
    )


def test_the_mix_is_its_own_contribution() -> None:
    excerpt = noise_excerpt()
    whole = excerpt.heard_contribution("mix")
    assert np.array_equal(whole.power, excerpt.mix_powers)
    assert np.array_equal(whole.cross, excerpt.mix_powers.astype(np.complex64))


def test_dry_powers_are_of_the_stems_alone_in_some_of_the_frames() -> None:
    excerpt = noise_excerpt()
    section = excerpt.sections[0]
    parts = excerpt.parts_in(section)
    dry = mix_of([excerpt.stems[part] for part in parts])
    powers = excitation.powers_of(excitation.spectra_of(dry))
    assert np.allclose(excerpt.dry_powers(section), powers[::SPARSE], rtol=1e-4)
    assert np.array_equal(
        excerpt.dry_powers(parts[0]),
        excitation.powers_of(excitation.spectra_of(excerpt.stems[parts[0]]))[::SPARSE],
    )
