"""Dealing: reps are fair, audible, rebuilt from their spec, and their bands are not skipped."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from numpy.random import Generator

from exercises import compression, level, octave_tone
from tests.noise_show import NoiseShow
from trainer.dsp.level import gain, sample_peak
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.ensemble.excerpt import Excerpt
from trainer.practice import fairness
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import Change, Edit, Level
from trainer.practice.deal import Rep, deal, deal_on, settled
from trainer.practice.exercise import Draw, Exercise, Focus, Question, Unhearable
from trainer.practice.listening import Listening
from trainer.practice.rep_code import RepSpec, decode
from trainer.practice.values import Answer
from trainer.refusal import Refused

SHOW = NoiseShow()
ALL = (octave_tone.EXERCISE, level.EXERCISE, compression.EXERCISE)


def dealt(exercise: Exercise, seed: int, *, size: float = 6.0, **focus: object) -> Rep:
    return deal(RepSpec(exercise.key, SHOW.key, seed, Focus(size, **focus)), exercise, SHOW)  # type: ignore[arg-type]


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.key)
def test_the_same_spec_gives_the_same_rep(exercise: Exercise) -> None:
    first, again = dealt(exercise, 3), dealt(exercise, 3)
    assert (first.answer, first.bands, first.code) == (again.answer, again.bands, again.code)
    assert np.array_equal(first.changed.samples, again.changed.samples)
    assert dealt(exercise, 4).code != first.code


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize(
    "exercise", [octave_tone.EXERCISE, compression.EXERCISE], ids=lambda exercise: exercise.key
)
def test_plain_and_changed_are_alike_in_loudness_peak_and_length(exercise: Exercise, seed: int) -> None:
    """Loudness by ITU-R BS.1770 within 0.1 LU (EBU R 128's tolerance for programmes is 0.5 LU), peak within 0.1 dB."""
    rep = dealt(exercise, seed, size=min(9.0, exercise.ladder.easiest))
    loudness = [integrated_loudness_lufs(sound) for sound in (rep.plain, rep.changed)]
    assert loudness[0] == pytest.approx(loudness[1], abs=0.1)
    assert loudness[0] == pytest.approx(-23.0, abs=0.3)
    peaks_db = [20.0 * np.log10(sample_peak(sound)) for sound in (rep.plain, rep.changed)]
    assert peaks_db[0] == pytest.approx(peaks_db[1], abs=0.1)
    assert rep.plain.frames == rep.changed.frames == rep.excerpt.frames


def test_a_level_rep_keeps_the_difference_in_loudness() -> None:
    rep = dealt(level.EXERCISE, 5, size=9.0, scope="section", direction=1)
    before, after = (integrated_loudness_lufs(sound) for sound in (rep.plain, rep.changed))
    assert after > before + 0.5


def test_what_is_up_never_jumps_at_the_ear_by_more_than_6_lu() -> None:
    """Loudness by ITU-R BS.1770; beyond it both versions come down, the difference between them stays."""
    excerpt = SHOW.excerpt(5)
    louder = gain(excerpt.mix, gain_db=9.0)
    for rise_db, version in ((9.0, louder), (5.0, gain(excerpt.mix, gain_db=5.0))):
        pair = fairness.side_by_side(version, fairness.reference_of(excerpt.mix))
        plain, changed = (integrated_loudness_lufs(sound) for sound in pair)
        assert changed - plain == pytest.approx(rise_db, abs=0.01)
        assert changed <= -23.0 + 6.0 + 0.01
    assert plain == pytest.approx(-23.0, abs=0.05)


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.key)
def test_no_true_peak_is_over_the_ceiling(exercise: Exercise) -> None:
    """EBU R 128: -1 dBTP; at the ladder's easiest end, where most is added."""
    for seed in range(3):
        rep = dealt(exercise, seed, size=exercise.ladder.easiest)
        assert max(true_peak_dbtp(sound, loop=True) for sound in (rep.plain, rep.changed)) <= -0.99


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.key)
def test_the_right_answer_is_on_offer_and_sounds_as_the_changed_version(exercise: Exercise) -> None:
    for seed in range(4):
        rep = dealt(exercise, seed)
        for field in rep.question.fields:
            assert rep.answer[field.key] in field.options
            assert len(field.options) >= 2
        assert rep.version_for(rep.answer) is rep.changed


def test_a_wrong_answer_can_be_heard_and_sounds_otherwise() -> None:
    rep = dealt(octave_tone.EXERCISE, 1, scope="mix", band_hz=1000.0, direction=1)
    wrong = rep.version_for({"band": 250.0, "direction": "cut"})
    assert wrong.frames == rep.changed.frames
    assert np.max(np.abs(wrong.samples - rep.changed.samples)) > 0.01


def test_the_band_of_a_mix_rep_is_drawn_before_any_excerpt_and_evenly() -> None:
    """Chi-squared against even odds (Pearson 1900) over 2000 specs, bands and directions."""
    from scipy.stats import chisquare

    drawn = [
        settled(RepSpec("octave-tone", "noise", seed, Focus(6.0)), octave_tone.EXERCISE)
        for seed in range(2000)
    ]
    bands, directions = Counter(focus.band_hz for focus in drawn), Counter(focus.direction for focus in drawn)
    assert set(bands) == set(OCTAVE_SCALE.names_hz)
    assert set(directions) == {1, -1}
    assert chisquare(list(bands.values())).pvalue > 0.001
    assert chisquare(list(directions.values())).pvalue > 0.001


def test_what_was_asked_for_is_what_is_dealt() -> None:
    rep = dealt(octave_tone.EXERCISE, 9, scope="mix", band_hz=2000.0, direction=-1)
    assert rep.answer == {"band": 2000.0, "direction": "cut"}
    assert rep.bands == {2000.0: 1.0}
    assert rep.question.target == "mix"


def test_at_size_zero_nothing_is_changed() -> None:
    rep = dealt(octave_tone.EXERCISE, 2, size=0.0, scope="mix")
    ratio = np.sum(rep.changed.samples * rep.plain.samples) / np.sum(np.square(rep.plain.samples))
    assert np.max(np.abs(rep.changed.samples - ratio * rep.plain.samples)) < 1e-4
    assert rep.bands == {}


@pytest.mark.parametrize("size", [-6.0, 0.5, 40.0, float("nan"), float("inf")])
def test_a_size_off_the_ladder_is_refused(size: float) -> None:
    with pytest.raises(Refused, match=r"off the ladder: boost or cut runs from 1.5 to 15 dB"):
        dealt(octave_tone.EXERCISE, 1, size=size)


def test_a_scope_an_exercise_is_not_asked_on_is_refused() -> None:
    with pytest.raises(Refused, match="level is asked on a section or a stem, not on a mix"):
        dealt(level.EXERCISE, 1, scope="mix")


def test_where_the_scope_is_left_open_a_wider_one_is_taken_for_a_size_no_stem_shows() -> None:
    seeds = [seed for seed in range(40) if settled(spec_of(seed), octave_tone.EXERCISE).scope == "stem"][:3]
    assert len(seeds) == 3
    for seed in seeds:
        rep = deal(spec_of(seed), octave_tone.EXERCISE, SHOW)
        assert rep.question.target in ("mix", *rep.excerpt.sections)
        assert decode(rep.code) == spec_of(seed)


def spec_of(seed: int) -> RepSpec:
    return RepSpec("octave-tone", SHOW.key, seed, Focus(1.5))


def test_a_size_too_small_to_be_heard_on_a_stem_is_refused_not_asked() -> None:
    with pytest.raises(Refused, match="too small to be heard in 12 excerpts of noise"):
        dealt(octave_tone.EXERCISE, 1, size=1.5, scope="stem")


def test_a_band_the_setup_cannot_play_is_refused_with_those_it_can() -> None:
    focus = Focus(9.0, "mix", 31.5, 1, Listening(usable_hz=OCTAVE_SCALE.names_hz[3:]))
    with pytest.raises(
        Refused, match=r"octave band 31\.5 Hz is not one that this listening setup can play; it plays 250"
    ):
        deal(RepSpec("octave-tone", "noise", 1, focus), octave_tone.EXERCISE, NoiseShow())


def test_what_was_drawn_and_would_not_be_heard_is_not_asked() -> None:
    """A change of a thousandth of a dB, whatever its size is said to be; one that is none is asked as it is."""

    def change_by(gain_db: float) -> Exercise:
        def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
            return Change((Edit("mix", Level(gain_db)),)) if gain_db else Change(())

        return replace(octave_tone.EXERCISE, change=change)

    spec = RepSpec("octave-tone", SHOW.key, 1, Focus(6.0, "mix"))
    with pytest.raises(Unhearable, match="moved nothing an ear would hear"):
        deal_on(SHOW.excerpt(1), spec, change_by(0.001))
    assert deal_on(SHOW.excerpt(1), spec, change_by(6.0)).change.edits
    assert not deal_on(SHOW.excerpt(1), spec, change_by(0.0)).change.edits


def test_a_rep_counts_for_the_bands_it_is_drawn_for_else_for_those_it_moves() -> None:
    def counted(bands: dict[float, float] | None) -> Exercise:
        def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
            return replace(octave_tone.EXERCISE.draw(excerpt, focus, rng), bands=bands)

        return replace(octave_tone.EXERCISE, draw=draw)

    spec = RepSpec("octave-tone", SHOW.key, 1, Focus(6.0, "mix", 2000.0, 1))
    assert deal_on(SHOW.excerpt(1), spec, counted({125.0: 0.5, 250.0: 0.5})).bands == {125.0: 0.5, 250.0: 0.5}
    assert deal_on(SHOW.excerpt(1), spec, counted({})).bands == {}
    moved = deal_on(SHOW.excerpt(1), spec, counted(None)).bands
    assert next(iter(moved)) == 2000.0
    assert sum(moved.values()) == pytest.approx(1.0)
