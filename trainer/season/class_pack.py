"""A quiz for a class over loudspeakers: a file an item, one long file, a table to type answers into; the key apart."""

import csv
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from numpy.random import default_rng

from trainer.practice.deal import Rep
from trainer.progress.files import replacing
from trainer.season.answer_tables import HOW_TO_TYPE
from trainer.season.quiz import Quiz
from trainer.season.quiz_audio import PIPS_WORDS, ItemSound, class_sounds, item_sound
from trainer.season.sheet import key_line
from trainer.sound_files import write_sound, write_sounds

PAUSE_S = 8.0
LONG_FILE, TABLE, NOTES = "all-items.wav", "answers.csv", "READ ME.txt"
BOM = "\ufeff"
"""Spreadsheets take a CSV file for UTF-8 if it begins with this."""


def item_file(number: int) -> str:
    """Return the name of an item's file."""
    return f"item-{number:02d}.wav"


def write_class_pack(
    quiz: Quiz,
    reps: Iterable[Rep],
    folder: Path,
    *,
    pause_s: float = PAUSE_S,
    told: Callable[[int], object] = lambda _: None,
) -> float:
    """Write the sounds of a quiz and the empty table of answers into a folder; return the long file's length in s.

    Parameters
    ----------
    reps
        The reps of its items, in their order.
    pause_s
        The time to write after each item.
    told
        Hears how many items are written.
    """
    sounds = class_sounds(_written(reps, folder, told), pause_s=pause_s, rng=default_rng(0))
    duration_s = write_sounds(folder / LONG_FILE, sounds, bits=24)
    _write_table(quiz, folder / TABLE)
    notes = _NOTES.format(
        title=quiz.title,
        code=quiz.code,
        count=len(quiz.items),
        pips=PIPS_WORDS,
        pause_s=pause_s,
        how=HOW_TO_TYPE,
    )
    (folder / NOTES).write_text(notes, encoding="utf-8")
    return duration_s


def write_key(quiz: Quiz, path: Path) -> None:
    """Write what is true of every item, for staff, as CSV."""
    with replacing(path) as beside, beside.open("w", encoding="utf-8", newline="") as file:
        file.write(BOM)
        table = csv.writer(file)
        table.writerow(["item", "exercise", "question", "answer", "rep code"])
        for item in quiz.items:
            table.writerow([item.number, item.title, item.question.text, key_line(item), item.code])


def _written(reps: Iterable[Rep], folder: Path, told: Callable[[int], object]) -> Iterator[ItemSound]:
    for number, rep in enumerate(reps, 1):
        item = item_sound(rep, number)
        write_sound(folder / item_file(number), item.sound, bits=24)
        yield item
        told(number)


def _write_table(quiz: Quiz, path: Path) -> None:
    """Write the table that answers are typed into: a line a student, a column an item."""
    with path.open("w", encoding="utf-8", newline="") as file:
        file.write(BOM)
        csv.writer(file).writerow(["name", *(str(item.number) for item in quiz.items)])


_NOTES = """{title} (quiz {code}, {count} items)

all-items.wav is the whole quiz in one file. It begins with noise that rises from silence: set the room's level
with it, from the quietest up, to a comfortable one, and leave it there. Then, item by item: its number in pips
({pips}), plain, changed, plain, changed, and {pause_s:g} seconds to write. The other
files are the items one by one.

Loud sound harms hearing, and nobody can tell from a file how loud a room is: keep it comfortable; local rules
and a hearing professional come before anything said here.

Print answer-sheet.pdf once for everybody. Afterwards type the answers into answers.csv, a line a student, a
cell an item. {how}
An empty cell is no answer. Put quotation marks around a cell that holds a comma or a semicolon (a spreadsheet does).
Then run: yardline quiz mark {code} answers.csv
"""
