"""The target alone: what is left out is the rest of the mix and nothing else, at the mix's own gain."""

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from exercises import compression, level, octave_tone
from tests.noise_show import NoiseShow, noise_excerpt
from tests.signals import white_noise
from trainer.dsp.level import gain
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.mixdown import bus
from trainer.ensemble.rooms import GYM
from trainer.practice import fairness
from trainer.practice.alone import gain_as_played_db, only_words, parts_alone, target_alone
from trainer.practice.change import MIX, Bell, Change, Compression, Edit, Level, changed_mix
from trainer.practice.deal import Rep, deal
from trainer.practice.exercise import Exercise, Focus
from trainer.practice.rep_code import RepSpec
from trainer.sound import Sound

SHOW = NoiseShow()
BOOST = Bell(centre_hz=1000.0, gain_db=6.0)
SQUASH = Compression(swing_db=8.0, ratio=10.0, attack_s=0.001, release_s=0.06)
PLAYED_DB = -16.3


@lru_cache(maxsize=1)
def any_rep() -> Rep:
    return dealt(level.EXERCISE, 1, scope="section")


def dealt(exercise: Exercise, seed: int, *, size: float = 6.0, scope: str) -> Rep:
    focus = Focus(size, scope=scope)  # type: ignore[arg-type]
    return deal(RepSpec(exercise.key, SHOW.key, seed, focus), exercise, SHOW)


def rep_of(*edits: Edit, excerpt: Excerpt | None = None, played_db: float = PLAYED_DB) -> Rep:
    """Return a rep with a change of the test's own, played at one gain without a limiter."""
    excerpt = excerpt or noise_excerpt(1).in_room(GYM)
    change = Change(edits)
    plain, changed = (gain(mix, gain_db=played_db) for mix in (excerpt.mix, changed_mix(change, excerpt)))
    return replace(any_rep(), excerpt=excerpt, base=excerpt.mix, change=change, plain=plain, changed=changed)


def heard_alone(rep: Rep) -> tuple[Sound, Sound]:
    sounds = target_alone(rep)
    assert sounds is not None
    return sounds


def rest_of(rep: Rep, *, played_db: float = PLAYED_DB) -> Sound:
    """Return what all other stems contribute, as played."""
    others = {part: sound for part, sound in rep.excerpt.stems.items() if part not in parts_alone(rep)}
    return gain(bus(others, rep.excerpt.room), gain_db=played_db)


def left_over_db(wanted: Sound, *sounds: Sound) -> float:
    """Return the power of what sounds lack of their wanted sum, beside that sum's, in dB."""
    lacking = wanted.samples.astype(np.float64) - sum(sound.samples for sound in sounds)
    share = np.mean(np.square(lacking)) / np.mean(np.square(wanted.samples, dtype=np.float64))
    return float(10.0 * np.log10(share + 1e-30))


CHANGES = {
    "section, fader": (Edit("front-ensemble", Level(gain_db=-6.0)),),
    "section, bell": (Edit("front-ensemble", BOOST),),
    "section, compressor": (Edit("front-ensemble", SQUASH),),
    "two stems": (Edit("marimba", BOOST), Edit("trumpets", SQUASH)),
    "a section and twice one of its stems": (
        Edit("front-ensemble", BOOST),
        Edit("marimba", Level(gain_db=-3.0)),
        Edit("marimba", SQUASH),
    ),
}


@pytest.mark.parametrize("edits", CHANGES.values(), ids=CHANGES)
def test_target_and_rest_make_the_mix_again_plain_and_changed(edits: tuple[Edit, ...]) -> None:
    """A null test, sample by sample and with the room: a bus is linear, so the parts sum to the mix."""
    rep = rep_of(*edits)
    plain, changed = heard_alone(rep)
    rest = rest_of(rep)
    assert left_over_db(rep.plain, plain, rest) < -100.0
    assert left_over_db(rep.changed, changed, rest) < -100.0
    assert left_over_db(plain, changed) > -60.0, "the change is in it"


def test_several_targets_are_heard_together_and_the_mix_is_left_out() -> None:
    both = rep_of(Edit("marimba", BOOST), Edit(MIX, BOOST), Edit("sub", Level(gain_db=3.0)))
    assert parts_alone(both) == {"marimba", "sub"}
    plain, changed = heard_alone(both)
    assert left_over_db(both.plain, plain, rest_of(both)) < -100.0
    without = rep_of(*(edit for edit in both.change.edits if edit.target != MIX))
    assert left_over_db(without.changed, changed, rest_of(both)) < -100.0


def test_on_the_whole_mix_nothing_is_heard_alone() -> None:
    rep = rep_of(Edit(MIX, BOOST))
    assert target_alone(rep) is None
    assert parts_alone(rep) == frozenset()
    assert only_words(rep.change) == ""
    assert target_alone(rep_of()) is None


@pytest.mark.parametrize(
    ("targets", "words"),
    [
        (("brass",), "only the brass"),
        (("concert-bass-drum",), "only the concert bass drum"),
        (("brass", "sub", "brass"), "only the brass and sub"),
        (("front-ensemble", "concert-bass-drum"), "only the changed parts"),
    ],
)
def test_it_is_called_by_its_name_where_there_is_room(targets: tuple[str, ...], words: str) -> None:
    assert only_words(Change(tuple(Edit(target, BOOST) for target in targets))) == words


def test_a_soft_part_is_lifted_plain_and_changed_alike() -> None:
    """10 phon less are about half as loud (ISO 532-1): the louder of the two ends 10 LU below the plain mix."""
    quiet = noise_excerpt(1)
    stems = {**quiet.stems, "sub": gain(quiet.stems["sub"], gain_db=-15.0)}
    rep = rep_of(Edit("sub", Level(gain_db=4.0)), excerpt=replace(quiet, stems=stems))
    plain, changed = heard_alone(rep)
    mix_lufs, soft_lufs = (integrated_loudness_lufs(sound) for sound in (rep.plain, changed))
    assert soft_lufs == pytest.approx(mix_lufs - 10.0, abs=0.05)
    assert left_over_db(changed, gain(plain, gain_db=4.0)) < -100.0
    played = gain(bus({"sub": stems["sub"]}, quiet.room), gain_db=PLAYED_DB)
    lift_db = integrated_loudness_lufs(plain) - integrated_loudness_lufs(played)
    assert 3.0 < lift_db < 20.0
    assert left_over_db(plain, gain(played, gain_db=lift_db)) < -100.0, "lifted, else as in the mix"


def test_what_is_hardly_there_is_lifted_by_20_db_and_no_more() -> None:
    quiet = noise_excerpt(1)
    stems = {**quiet.stems, "sub": gain(quiet.stems["sub"], gain_db=-70.0)}
    plain, _ = heard_alone(rep_of(Edit("sub", BOOST), excerpt=replace(quiet, stems=stems)))
    played = gain(bus({"sub": stems["sub"]}, quiet.room), gain_db=PLAYED_DB + 20.0)
    assert left_over_db(played, plain) < -80.0


@pytest.mark.parametrize("process", [Bell(1000.0, 15.0, 4.0), Level(12.0)], ids=["bell", "fader"])
def test_it_is_never_louder_than_what_the_rep_has_played(process: Bell | Level) -> None:
    """The mix with the change was brought down to the plain one's loudness: so is what was changed, alone."""
    matched = rep_of(Edit("front-ensemble", process))
    over_lu = integrated_loudness_lufs(matched.changed) - integrated_loudness_lufs(matched.plain)
    assert over_lu > 3.0
    matched = replace(matched, changed=gain(matched.changed, gain_db=-over_lu))
    plain, changed = heard_alone(matched)
    assert integrated_loudness_lufs(changed) == pytest.approx(
        integrated_loudness_lufs(matched.plain), abs=0.05
    )
    contributed = bus({part: matched.excerpt.stems[part] for part in parts_alone(matched)}, GYM)
    lowered_db = integrated_loudness_lufs(plain) - integrated_loudness_lufs(contributed) - PLAYED_DB
    assert lowered_db < -1.0
    assert left_over_db(plain, gain(contributed, gain_db=PLAYED_DB + lowered_db)) < -100.0


def test_no_true_peak_is_over_the_ceiling() -> None:
    """EBU R 128: -1 dBTP; one loud stem against another of the same sound inverted, so that the mix is small."""
    loud = white_noise(duration_s=6.0, seed=2, rms_dbfs=-6.0, channels=2)
    stems = {"trumpets": loud, "marimba": Sound(-0.5 * loud.samples)}
    rep = rep_of(
        Edit("trumpets", Level(gain_db=3.0)), excerpt=replace(noise_excerpt(1), stems=stems), played_db=6.0
    )
    plain, changed = heard_alone(rep)
    assert max(true_peak_dbtp(sound, loop=True) for sound in (plain, changed)) == pytest.approx(
        -1.0, abs=0.01
    )
    assert left_over_db(changed, gain(plain, gain_db=3.0)) < -100.0


@pytest.mark.parametrize("scope", ["section", "stem"])
@pytest.mark.parametrize(
    "exercise", [octave_tone.EXERCISE, level.EXERCISE, compression.EXERCISE], ids=lambda one: str(one.key)
)
def test_of_a_rep_as_dealt_the_gain_is_the_one_it_is_played_at(exercise: Exercise, scope: str) -> None:
    """Held peaks are few: all but a tenth of the samples are the plain mix under this gain within -60 dB."""
    rep = dealt(exercise, 4, size=exercise.ladder.easiest, scope=scope)
    played_db = gain_as_played_db(rep)
    assert played_db <= fairness.reference_of(rep.excerpt.mix).gain_db + 0.2
    lacking = rep.plain.samples - gain(rep.excerpt.mix, gain_db=played_db).samples
    least = 1e-3 * float(np.sqrt(np.mean(np.square(rep.plain.samples, dtype=np.float64))))
    assert np.mean(np.abs(lacking) > least) < 0.1
    plain, changed = heard_alone(rep)
    assert plain.frames == changed.frames == rep.plain.frames
    loudest = max(integrated_loudness_lufs(sound) for sound in (rep.plain, rep.changed))
    assert max(integrated_loudness_lufs(sound) for sound in (plain, changed)) <= loudest + 0.05
