"""Compression: the meter swings as far as the answer says, and what is on offer tells nothing of the answer."""

import numpy as np
import pytest
from numpy.random import default_rng

from exercises.compression import EXERCISE, LADDER, PACES, RATIO, SWING, draw, offered
from tests.noise_show import NoiseShow
from tests.signals import pink_noise
from trainer.dsp.dynamics import envelope_db
from trainer.dsp.level import gain, mix_of
from trainer.dsp.meter_swing import LevelSpan, most_swing_db
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.change import Compression
from trainer.practice.exercise import Draw, Focus, Unhearable
from trainer.practice.listening import STANDARD, Listening
from trainer.practice.values import Answer
from trainer.sound import Sound

EXCERPT = NoiseShow().excerpt(1)
SIZES = tuple(float(size) for size in np.arange(LADDER.hardest, LADDER.easiest + 0.1, LADDER.step))
GEOMETRIC_MEANS = (3.5 * 5.0) ** 0.5, (5.0 * 8.0) ** 0.5


def compression_of(answer: Answer, drawn: Draw) -> Compression:
    (edit,) = EXERCISE.change(answer, drawn.question, EXCERPT).edits
    assert edit.target == answer["which"]
    assert isinstance(edit.process, Compression)
    return edit.process


def with_stem(part: str, sound: Sound) -> Excerpt:
    return Excerpt("noise", 1, "noise", EXCERPT.room, dict(EXCERPT.stems) | {part: sound})


@pytest.mark.parametrize("size", SIZES)
def test_it_compresses_by_its_size_and_the_answer_is_the_nearest_class_by_ratio(size: float) -> None:
    """Nearest by ratio: the bounds between 3.5, 5 and 8 dB are their geometric means, 4.18 and 6.32 dB."""
    drawn = draw(EXCERPT, Focus(size, "section"), default_rng(4))
    step = (3.5, 5.0, 8.0)[sum(size > mean for mean in GEOMETRIC_MEANS)]
    assert drawn.answer["swing"] == step
    pace = PACES[str(drawn.answer["speed"])]
    made = compression_of(drawn.answer, drawn)
    assert (made.swing_db, made.ratio) == (size, RATIO)
    assert (made.attack_s, made.release_s) == (pace.attack_s, pace.release_s)


@pytest.mark.parametrize("size", [4.0, 5.5, 7.0])
def test_a_wrong_class_sounds_as_its_own_step(size: float) -> None:
    drawn = draw(EXCERPT, Focus(size, "stem"), default_rng(4))
    for step in set(SWING.options) - {drawn.answer["swing"]}:
        assert compression_of({**drawn.answer, "swing": step}, drawn).swing_db == step


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_what_is_on_offer_is_the_same_for_every_size_and_truth(scope: str) -> None:
    """An adversary who knows the options and their number knows nothing: they hang on the excerpt alone."""
    drawn = [
        draw(EXCERPT, Focus(size, scope), default_rng(seed))  # type: ignore[arg-type]
        for seed, size in enumerate(SIZES * 4)
    ]
    assert len({one.question.fields for one in drawn}) == 1
    assert len({(one.answer["which"], one.answer["speed"]) for one in drawn}) >= 4


@pytest.mark.parametrize("scope", ["section", "stem"])
def test_all_that_is_on_offer_reaches_the_easiest_size_at_both_paces(scope: str) -> None:
    """(1 - 1/R) of the envelope's own span is the most a meter can swing (Giannoulis et al., 2012, equation 4)."""
    on_offer = offered(EXCERPT, scope, STANDARD)  # type: ignore[arg-type]
    assert len(on_offer) >= 2
    for target in on_offer:
        stems = {part: EXCERPT.stems[part] for part in EXCERPT.parts_in(target)}
        for pace in PACES.values():
            assert pace.compression(LADDER.easiest).apply(stems).keys() == stems.keys()


def test_an_even_part_is_not_on_offer_however_loud() -> None:
    """Steady noise swings by less than 8 dB at the slow pace: it cannot be asked about at the easiest size."""
    steady = pink_noise(duration_s=6.0, seed=9, channels=2, rms_dbfs=-10.0)
    slow = PACES["slow"]
    span = LevelSpan.of(envelope_db(steady, attack_s=slow.attack_s, release_s=slow.release_s)[96_000:])
    assert most_swing_db(span, ratio=RATIO) < 3.0
    assert "trumpets" in offered(EXCERPT, "stem", STANDARD)
    assert "trumpets" not in offered(with_stem("trumpets", steady), "stem", STANDARD)


def test_a_buried_part_is_not_on_offer_and_one_alone_is_no_question() -> None:
    buried = with_stem("trumpets", gain(EXCERPT.stems["trumpets"], gain_db=-50.0))
    assert "trumpets" not in offered(buried, "stem", STANDARD)
    alone = Excerpt("noise", 1, "noise", EXCERPT.room, {"sub": EXCERPT.stems["sub"]})
    with pytest.raises(Unhearable, match="too few stems"):
        draw(alone, Focus(5.0, "stem"), default_rng(1))


def test_what_is_heard_in_bands_that_cannot_be_played_does_not_count() -> None:
    assert "sub" in offered(EXCERPT, "stem", STANDARD)
    assert "sub" not in offered(EXCERPT, "stem", Listening(usable_hz=STANDARD.usable_hz[3:]))


def test_targets_and_paces_are_drawn_evenly() -> None:
    drawn = [draw(EXCERPT, Focus(5.0, "stem"), default_rng(seed)).answer for seed in range(600)]
    fast = sum(answer["speed"] == "fast" for answer in drawn)
    assert 240 < fast < 360
    on_offer = offered(EXCERPT, "stem", STANDARD)
    counts = [sum(answer["which"] == target for answer in drawn) for target in on_offer]
    expected = 600 / len(on_offer)
    assert all(abs(count - expected) < 4.0 * expected**0.5 for count in counts)


def test_fast_and_slow_sound_different_and_fast_follows_more_closely() -> None:
    drawn = draw(EXCERPT, Focus(8.0, "stem"), default_rng(1))
    part = str(drawn.answer["which"])
    stem = EXCERPT.stems[part]
    moving = {}
    for speed in PACES:
        pressed = compression_of({**drawn.answer, "speed": speed}, drawn).apply({part: stem})[part]
        loud = np.abs(stem.samples[:, 0]) > 1e-3
        moving[speed] = float(
            np.mean(np.abs(np.diff(np.log(pressed.samples[loud, 0] / stem.samples[loud, 0]))))
        )
    assert moving["fast"] > 1.5 * moving["slow"]


@pytest.mark.parametrize("pace", PACES)
def test_a_larger_swing_changes_the_target_more_at_every_step(pace: str) -> None:
    """What is easier to hear is larger: the power of what was added rises all along the ladder, at either pace."""
    stems = {part: EXCERPT.stems[part] for part in EXCERPT.parts_in("battery")}
    together = mix_of(list(stems.values())).samples
    added = []
    for size in SIZES:
        made = mix_of(list(PACES[pace].compression(size).apply(stems).values()))
        added.append(float(np.mean(np.square(made.samples - together))))
    assert np.all(np.diff(added) > 0.0)


def test_the_remedy_names_the_threshold_and_the_make_up() -> None:
    drawn = draw(EXCERPT, Focus(8.0, "stem"), default_rng(1))
    said = {
        speed: EXERCISE.remedy({**drawn.answer, "speed": speed, "which": "snare-line"}, drawn.question)
        for speed in PACES
    }
    assert said["slow"] == (
        "snare line, compressor: raise the threshold until the meter barely moves, then take out the make-up gain."
    )
    assert said["fast"] == f"{said['slow']} A longer attack lets the strokes through."


def test_the_classes_are_told_in_words() -> None:
    assert [SWING.label(step) for step in SWING.options] == [
        "light, about 3.5 dB",
        "firm, about 5 dB",
        "hard, about 8 dB",
    ]
