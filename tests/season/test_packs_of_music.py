"""Sealed packs of the field show: a listener with the pack alone, and a cheat with everything but the sound.

Long, as every item has an excerpt of its own: run it with YARDLINE_FULL_TESTS=1. What the suite always tests is in
test_packs.py, on noise: the same listener, and that two packs differ in nothing but the samples.
"""

import zipfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import binomtest
from sklearn.ensemble import RandomForestClassifier
from sklearn.model_selection import cross_val_predict

from tests.lengths import IS_FULL
from tests.listener import hear_tone
from tests.season.quizzes import EXERCISES, MADE_AT, TAKEN_AT
from trainer.dsp.level import sample_peak_db
from trainer.dsp.loudness import integrated_loudness_lufs
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.shows import generated_shows
from trainer.season.answer_files import attempts_of, read_answers, write_answers
from trainer.season.quiz import Quiz
from trainer.season.quiz_draw import drawn, items_of
from trainer.season.quiz_marking import score_of, sheets_of
from trainer.season.quiz_wish import QuizWish, part_of
from trainer.season.sealed_pack import open_pack, write_sealed_pack

pytestmark = pytest.mark.skipif(not IS_FULL, reason="takes a quarter of an hour: set YARDLINE_FULL_TESTS=1")
QUIZZES = 16


@dataclass(frozen=True)
class Taken:
    """A quiz, what the listener scored, and what a cheat sees of each item."""

    quiz: Quiz
    score: float
    facts: list[list[float]]


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> list[Taken]:
    """Make, pack, hear and mark the quizzes, one after the other."""
    show, folder = generated_shows(NoteBank())["field-show"], tmp_path_factory.mktemp("packs")
    wishes = [
        QuizWish("Week 3", show.key, seed, (part_of(EXERCISES["octave-tone"]),)) for seed in range(QUIZZES)
    ]
    found = []
    for number, wish in enumerate(wishes):
        reps = list(drawn(wish, EXERCISES, show))
        quiz = Quiz(f"{number:032x}", wish.title, MADE_AT, items_of(iter(reps)))
        write_sealed_pack(quiz, reps, folder / "pack.zip")
        del reps
        found.append(Taken(quiz, listened(quiz, folder), facts_of(folder / "pack.zip")))
    return found


def listened(quiz: Quiz, folder: Path) -> float:
    """Return what the listener scores, by way of a returned file of answers."""
    pack = open_pack(folder / "pack.zip")
    answers = {}
    for item in pack.items:
        heard = hear_tone(*pack.versions(item))
        if heard is not None:
            answers[item.number] = {"band": heard.band_hz, "direction": heard.direction}
    file = folder / "answers.json"
    write_answers(file, quiz=pack.quiz, sitting="1" * 32, learner="Heron", begun_at=TAKEN_AT, answers=answers)
    (sheet,) = sheets_of(attempts_of(quiz, read_answers(quiz, file), EXERCISES))
    return score_of(quiz, sheet)


def facts_of(path: Path) -> list[list[float]]:
    """Return all that is known of each item but what it sounds like: order, lengths, bytes, loudness, peaks."""
    pack = open_pack(path)
    facts = []
    with zipfile.ZipFile(path) as archive:
        for item in pack.items:
            entry, pair = archive.getinfo(item.sound), pack.versions(item)
            loudness = [integrated_loudness_lufs(sound) for sound in pair]
            peaks = [sample_peak_db(sound) for sound in pair]
            places = [float(number) for _, at, frames in item.cues for number in (at, frames)]
            facts.append([item.number, entry.file_size, entry.header_offset, entry.CRC % 997, *places, *loudness,
                          loudness[1] - loudness[0], *peaks, peaks[1] - peaks[0]])  # fmt: skip
    return facts


def test_a_listener_with_nothing_but_the_pack_scores_90_percent(taken: list[Taken]) -> None:
    print([round(one.score, 3) for one in taken])  # noqa: T201 - a figure to report
    assert min(one.score for one in taken) >= 0.9


def test_a_cheat_with_everything_but_the_sound_is_at_chance(taken: list[Taken]) -> None:
    """A random forest, cross-validated over the quizzes: each is guessed from all others.

    Chance is the share of the commonest answer: coins fall unevenly, and always saying one side is no leak.
    """
    facts = np.array([item for one in taken for item in one.facts])
    groups = np.repeat(np.arange(QUIZZES), len(taken[0].quiz.items))
    items = [item for one in taken for item in one.quiz.items]
    for key in ("band", "direction"):
        truth = np.array([str(item.answer[key]) for item in items])
        chance = float(np.max(np.unique(truth, return_counts=True)[1]) / len(truth))
        forest = RandomForestClassifier(300, random_state=1, n_jobs=1)
        splits = [(np.flatnonzero(groups != one), np.flatnonzero(groups == one)) for one in range(QUIZZES)]
        right = int(np.sum(cross_val_predict(forest, facts, truth, cv=splits) == truth))
        found = binomtest(right, len(truth), chance, alternative="greater")
        print(key, right, len(truth), round(found.pvalue, 3))  # noqa: T201 - a figure to report
        assert found.pvalue > 0.01
