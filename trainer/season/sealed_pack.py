"""A sealed pack: a quiz to take on one's own machine; sounds and questions in one file, nothing of the answers.

The file is a ZIP archive, stored uncompressed: how far a sound packs down would tell of what is in it.
"""

import json
import zipfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.random import default_rng

from trainer.practice.deal import Rep
from trainer.practice.exercise import Question
from trainer.practice.question_text import plain_question, question_from
from trainer.progress.files import replacing
from trainer.refusal import Refused
from trainer.season.class_pack import item_file
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_audio import dithered, item_sound
from trainer.season.sealed_page import page_of
from trainer.sound import Sound
from trainer.sound_files import Bits, read_sound_bytes, wav_bytes

FORMAT = 1
BITS: Bits = 16
QUESTIONS, PAGE = "quiz.json", "quiz.html"
MADE = (1980, 1, 1, 0, 0, 0)
"""The date of every file in the archive: when one was made tells nothing then."""


@dataclass(frozen=True, slots=True)
class SealedItem:
    """One item of a pack: what is asked, and where plain and changed lie in its sound, in frames."""

    number: int
    title: str
    question: Question
    sound: str
    cues: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class SealedPack:
    """A pack that was opened."""

    path: Path
    quiz: str
    title: str
    items: tuple[SealedItem, ...]

    def versions(self, item: SealedItem) -> tuple[Sound, Sound]:
        """Return plain and changed of an item."""
        with zipfile.ZipFile(self.path) as archive:
            sound = read_sound_bytes(archive.read(item.sound), name=item.sound)
        cut = {
            name: Sound(sound.samples[at : at + frames].copy(), sound.rate_hz)
            for name, at, frames in item.cues
        }
        return cut["plain"], cut["changed"]


def write_sealed_pack(
    quiz: Quiz, reps: Iterable[Rep], path: Path, *, told: Callable[[int], object] = lambda _: None
) -> None:
    """Write a quiz as a sealed pack; ``told`` hears how many items are in."""
    items: list[dict[str, Any]] = []
    with replacing(path) as beside, zipfile.ZipFile(beside, "w", zipfile.ZIP_STORED) as archive:
        for item, rep in zip(quiz.items, reps, strict=True):
            made = item_sound(rep, item.number, rounds=1)
            whole = dithered(made.sound, bits=BITS, rng=default_rng(item.number))
            held = Sound(np.clip(whole.samples, -1.0, 1.0), whole.rate_hz)
            _add(archive, f"sounds/{item_file(item.number)}", wav_bytes(held, bits=BITS))
            items.append(_asked(item) | {"cues": [list(cue) for cue in made.cues]})
            told(item.number)
        content = {"format": FORMAT, "quiz": quiz.uid, "title": quiz.title, "items": items}
        _add(archive, QUESTIONS, json.dumps(content, ensure_ascii=False, indent=1).encode("utf-8"))
        _add(archive, PAGE, page_of(quiz).encode("utf-8"))


def open_pack(path: Path) -> SealedPack:
    """Open a sealed pack.

    Raises
    ------
    Refused
        If it is missing, no pack, or one of a later version of the program.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            content = json.loads(archive.read(QUESTIONS))
            names = set(archive.namelist())
        version = content["format"]
        items = tuple(map(_item_from, content["items"])) if version == FORMAT else ()
        pack = SealedPack(path, str(content["quiz"]), str(content["title"]), items)
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror or error}") from error
    except (zipfile.BadZipFile, KeyError, ValueError, TypeError) as error:
        raise Refused(f"{path} is no sealed quiz pack, or is damaged: ask for it again") from error
    if version != FORMAT:
        raise Refused(
            f"{path} was made by another version of this program (pack format {version}): update it"
        )
    if missing := sorted({item.sound for item in pack.items} - names):
        raise Refused(f"{path} lacks {missing[0]}: it is damaged, ask for it again")
    return pack


def _asked(item: QuizItem) -> dict[str, Any]:
    """Return what may be known of an item before its answer: not its size, its seed or its rep code."""
    question = plain_question(replace(item.question, size=0.0))
    return {
        "number": item.number,
        "title": item.title,
        "question": question,
        "sound": f"sounds/{item_file(item.number)}",
    }


def _item_from(plain: dict[str, Any]) -> SealedItem:
    cues = tuple((str(name), int(at), int(frames)) for name, at, frames in plain["cues"])
    question = question_from(plain["question"])
    return SealedItem(int(plain["number"]), str(plain["title"]), question, str(plain["sound"]), cues)


def _add(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    archive.writestr(zipfile.ZipInfo(name, MADE), content)
