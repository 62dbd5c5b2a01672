"""What a listener can hear in the reps, and what a meter must not tell: measured on real reps of the field show.

The listener (tests/listener.py) is given sound only. The adversary is given everything but the sound: lengths, peaks,
loudness, the letters of the rep codes, and the order of the reps. YARDLINE_FULL_TESTS=1 takes twice the excerpts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

import numpy as np
import pytest
from numpy.random import Generator, default_rng
from scipy.stats import binomtest
from sklearn.ensemble import RandomForestClassifier
from sklearn.model_selection import cross_val_predict

from tests.lengths import length
from tests.listener import (
    CENTRES_HZ,
    NOMINAL_HZ,
    Floats,
    HeardLevel,
    HeardTone,
    bell_db,
    hear_compression,
    hear_level,
    hear_tone,
    profile_of,
)
from tests.signals import pink_noise
from trainer.dsp.level import gain, sample_peak_db
from trainer.dsp.loudness import integrated_loudness_lufs
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.shows import generated_shows
from trainer.practice.catalogue import load
from trainer.practice.change import changed_mix
from trainer.practice.deal import Rep, deal_on
from trainer.practice.exercise import Focus, Unhearable
from trainer.practice.rep_code import MOST_SEED, RepSpec
from trainer.sound import Sound

EXCERPTS = length(5, full=10)
PROFILE_EXCERPTS = 3
TONES_HEARD, TONES_METERED = 20, 30
LEVELS = 10
COMPRESSIONS = 8
SIZE_DB = 6.0
TREES = length(100, full=300)

EXERCISES = load().exercises


@dataclass(frozen=True)
class Metered:
    """What a meter and an eye tell about a rep, and what is true of it."""

    facts: tuple[float, ...]
    band: str
    direction: str


@dataclass(frozen=True)
class Sitting:
    """What was heard and metered in many reps."""

    tones: list[tuple[HeardTone | None, HeardTone]]
    nothings: list[HeardTone | None]
    levels: list[tuple[HeardLevel | None, HeardLevel]]
    compressed: list[bool]
    uncompressed: list[bool]
    metered: list[Metered]
    unmatched: list[Metered]


@pytest.fixture(scope="module")
def sitting() -> Sitting:
    """Deal the reps, excerpt by excerpt, and keep only what was heard and metered."""
    show = generated_shows(NoteBank())["field-show"]
    rng = default_rng(2026)
    profiles = profiles_of([show.excerpt(seed) for seed in range(9000, 9000 + PROFILE_EXCERPTS)])
    heard = Sitting([], [], [], [], [], [], [])
    for seed in range(EXCERPTS):
        sit_through(show.excerpt(seed), rng, profiles, heard)
    return heard


def profiles_of(excerpts: Sequence[Excerpt]) -> dict[str, Floats]:
    """Return what each section sounds like, from excerpts that no rep is taken from."""
    return {
        section: np.mean([profile_of(excerpt.through_bus(section)) for excerpt in excerpts], axis=0)
        for section in excerpts[0].sections
    }


def sit_through(excerpt: Excerpt, rng: Generator, profiles: dict[str, Floats], heard: Sitting) -> None:
    """Hear and meter one excerpt's reps."""
    for rep in islice(reps(excerpt, "octave-tone", rng, scope="mix"), TONES_HEARD):
        heard.tones.append((hear_tone(rep.plain, rep.changed), truth(rep)))
        heard.uncompressed.append(hear_compression(rep.plain, rep.changed))
        heard.metered.append(metered(rep))
        heard.unmatched.append(unmatched(rep))
    for rep in islice(reps(excerpt, "octave-tone", rng, scope="mix", size=None), TONES_METERED):
        heard.metered.append(metered(rep))
    for rep in islice(reps(excerpt, "octave-tone", rng, scope="mix", size=0.0), 1):
        heard.nothings.append(hear_tone(rep.plain, rep.changed))
    for rep in islice(reps(excerpt, "level", rng, scope="section"), LEVELS):
        moved = HeardLevel(str(rep.answer["which"]), str(rep.answer["direction"]))
        heard.levels.append((hear_level(rep.plain, rep.changed, profiles), moved))
        heard.uncompressed.append(hear_compression(rep.plain, rep.changed))
    for rep in islice(reps(excerpt, "compression", rng, scope=None), COMPRESSIONS):
        heard.compressed.append(hear_compression(rep.plain, rep.changed))


def reps(
    excerpt: Excerpt, exercise: str, rng: Generator, *, scope: str | None, size: float | None = SIZE_DB
) -> Iterator[Rep]:
    """Yield reps of an exercise on an excerpt without end; sizes vary where none is given."""
    found = EXERCISES[exercise]
    while True:
        drawn = found.ladder.around_start(rng) if size is None else size
        spec = RepSpec(exercise, excerpt.show, int(rng.integers(MOST_SEED)), Focus(drawn, scope))  # type: ignore[arg-type]
        try:
            yield deal_on(excerpt, spec, found)
        except Unhearable:
            continue


def truth(rep: Rep) -> HeardTone:
    return HeardTone(float(rep.answer["band"]), str(rep.answer["direction"]))


def metered(rep: Rep) -> Metered:
    """Return what the adversary gets of a rep, and for the control the peak as it was before matching."""
    pair = (rep.plain, rep.changed)
    peaks_db = [sample_peak_db(sound) for sound in pair]
    loudness_lufs = [integrated_loudness_lufs(sound) for sound in pair]
    letters = [float(ord(letter)) for letter in rep.code.rpartition(".")[2].replace("-", "")]
    facts = (rep.plain.frames, rep.changed.frames, *peaks_db, peaks_db[1] - peaks_db[0], *loudness_lufs,
             loudness_lufs[1] - loudness_lufs[0], *letters)  # fmt: skip
    return Metered(facts, str(rep.answer["band"]), str(rep.answer["direction"]))


def unmatched(rep: Rep) -> Metered:
    """Return what the adversary would get of a rep whose peak and loudness were left as they are."""
    pair = (rep.excerpt.mix, changed_mix(rep.change, rep.excerpt))
    facts = [measure(pair[1]) - measure(pair[0]) for measure in (sample_peak_db, integrated_loudness_lufs)]
    return Metered(tuple(facts), str(rep.answer["band"]), str(rep.answer["direction"]))


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("band", range(10))
def test_the_listener_hears_a_bell_in_pink_noise(band: int, sign: float) -> None:
    """The listener itself: a 6 dB bell made in the frequency domain from the analogue prototype (RBJ)."""
    noise = pink_noise(duration_s=8.0, seed=band, channels=2)
    frequency_hz = np.fft.rfftfreq(noise.frames, 1.0 / noise.rate_hz)
    response = 10.0 ** (bell_db(frequency_hz, CENTRES_HZ[band], sign * SIZE_DB) / 20.0)
    spectrum = np.fft.rfft(noise.samples, axis=0) * response[:, None]
    belled = gain(Sound.of(np.fft.irfft(spectrum, noise.frames, axis=0)), gain_db=-1.3)
    assert hear_tone(noise, belled) == HeardTone(NOMINAL_HZ[band], "boost" if sign > 0 else "cut")


def test_the_listener_hears_nothing_in_two_equal_noises() -> None:
    noise = pink_noise(duration_s=8.0, seed=1, channels=2)
    assert hear_tone(noise, gain(noise, gain_db=-2.0)) is None
    assert hear_level(noise, noise, {"brass": np.zeros(60)}) is None
    assert not hear_compression(noise, gain(noise, gain_db=-2.0))


def test_a_listener_names_band_and_direction_of_6_db_in_the_mix(sitting: Sitting) -> None:
    right = sum(heard == true for heard, true in sitting.tones)
    assert len(sitting.tones) == EXCERPTS * TONES_HEARD
    assert right >= 0.99 * len(sitting.tones)


def test_a_listener_names_the_section_that_moved_by_6_db(sitting: Sitting) -> None:
    sections = sum(heard is not None and heard.section == true.section for heard, true in sitting.levels)
    directions = sum(
        heard is not None and heard.direction == true.direction for heard, true in sitting.levels
    )
    assert len(sitting.levels) == EXCERPTS * LEVELS
    assert {true.section for _, true in sitting.levels} >= {
        "front-ensemble",
        "battery",
        "brass",
        "electronics",
    }
    assert min(sections, directions) >= 0.95 * len(sitting.levels)


def test_a_listener_tells_compressed_from_not(sitting: Sitting) -> None:
    right = sum(sitting.compressed) + sum(not heard for heard in sitting.uncompressed)
    asked = len(sitting.compressed) + len(sitting.uncompressed)
    assert len(sitting.compressed) == EXCERPTS * COMPRESSIONS
    assert np.mean(sitting.compressed) >= 0.95
    assert right / asked >= 0.95


def test_a_listener_hears_nothing_at_size_zero(sitting: Sitting) -> None:
    assert sitting.nothings == [None] * EXCERPTS


def right_guesses(facts: Floats, truths: Sequence[str]) -> int:
    """Return how many a random forest guesses right, each from a forest that was grown without it."""
    forest = RandomForestClassifier(TREES, min_samples_leaf=3, random_state=0)
    return int(np.sum(cross_val_predict(forest, facts, np.array(truths), cv=5) == np.array(truths)))


@pytest.mark.parametrize(("asked", "options"), [("band", 10), ("direction", 2)])
def test_a_meter_guesses_at_chance(sitting: Sitting, asked: str, options: int) -> None:
    """Random forest (Breiman 2001) on all the facts and the order; one-sided binomial test against chance at 1 %."""
    facts = np.array([(*rep.facts, place) for place, rep in enumerate(sitting.metered)])
    truths = [getattr(rep, asked) for rep in sitting.metered]
    assert len(truths) == EXCERPTS * (TONES_HEARD + TONES_METERED)
    right = right_guesses(facts, truths)
    assert binomtest(right, len(truths), 1.0 / options, alternative="greater").pvalue > 0.01


@pytest.mark.parametrize(("asked", "options"), [("band", 10), ("direction", 2)])
def test_the_same_meter_would_notice_a_leak(sitting: Sitting, asked: str, options: int) -> None:
    """The control: peak and loudness as they are without matching do tell."""
    facts = np.array([rep.facts for rep in sitting.unmatched])
    right = right_guesses(facts, [getattr(rep, asked) for rep in sitting.unmatched])
    assert binomtest(right, len(facts), 1.0 / options, alternative="greater").pvalue < 1e-6


def test_the_order_of_bands_does_not_tell_the_next(sitting: Sitting) -> None:
    """The last two answers as facts about the next; one-sided binomial test at 1 %."""
    truths = [rep.band for rep in sitting.metered]
    before = np.array([[float(truths[i - 1]), float(truths[i - 2])] for i in range(2, len(truths))])
    right = right_guesses(before, truths[2:])
    assert binomtest(right, len(before), 0.1, alternative="greater").pvalue > 0.01
