"""A programme: a store of many learners and a million attempts over twelve weeks, made in about a minute.

The learners are simulated: each has ten thresholds that fall as the weeks go by, is asked about sizes near
them, and answers as `trainer.progress.thresholds.hearing` says. Sundays are free. The rows are those that
`Store.add_all` would have written, tallies and all.
"""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.random import Generator, default_rng
from numpy.typing import NDArray

from trainer import __version__
from trainer.ensemble.parts import SECTIONS
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.question_text import asked_from
from trainer.progress.kept_days import number_of
from trainer.progress.rows import COLUMNS, digest_of, evidence_in
from trainer.progress.running_tallies import DAY_US
from trainer.progress.store import open_store
from trainer.progress.thresholds.hearing import EASE_75, chance_right

BEGINS = datetime(2030, 1, 7, tzinfo=UTC)
"""A Monday."""
WEEKS, WEEK_DAYS, PRACTICE_DAYS = 12, 7, 6
TODAY = (BEGINS + timedelta(weeks=WEEKS)).date()
"""The day after the last."""
NOON_US, REP_US = DAY_US // 2, 30_000_000
BLOCK_REPS = 25
NAMES = ("Heron", "Plover", "Avocet", "Curlew", "Dunlin", "Sanderling")
PAGE = 20_000

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
Row = tuple[Any, ...]
Tallied = dict[tuple[str, int, str, float], list[float]]


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of question: how often it is asked, how much larger the changes named in it are, and its fields.

    Attributes
    ----------
    hidden, ways
        The field that says what was changed, with its options, and the options of ``direction``.
    """

    exercise: str
    target: str
    share: float
    harder: float
    hidden: tuple[str, tuple[str | float, ...]]
    ways: tuple[str, str] = ("boost", "cut")

    @property
    def name(self) -> str:
        """Its name as evidence has it."""
        scope = "mix" if self.target == "mix" else "section"
        return f"{self.exercise}/{scope}"


OCTAVES_HZ = OCTAVE_SCALE.names_hz
BY_BAND = ("band", OCTAVES_HZ)
BY_SECTION = ("which", tuple(section.key for section in SECTIONS))
KINDS = (
    Kind("octave-tone", "mix", 0.5, 1.0, BY_BAND),
    Kind("octave-tone", "brass", 0.3, 1.2, BY_BAND),
    Kind("level", "", 0.2, 0.8, BY_SECTION, ("up", "down")),
)


def programme_store(path: Path, *, learners: int = 150, attempts: int = 1_000_000, seed: int = 0) -> None:
    """Make a store of so many attempts, spread evenly over so many learners and twelve weeks.

    Parameters
    ----------
    path
        Where the file is made; there must be none.
    seed
        The same gives the same store.
    """
    open_store(path, now=BEGINS).close()
    tallied: Tallied = {}
    with closing(sqlite3.connect(path)) as bare:
        bare.executescript("PRAGMA synchronous = OFF; PRAGMA cache_size = -400000")
        with bare:
            for rows in _pages(learners, attempts, seed):
                bare.executemany(_insert("attempts", COLUMNS), rows)
                _tally(rows, tallied)
            asked = {_asked(kind) for kind in KINDS}
            bare.executemany(
                _insert("questions", ("digest", "asked")), [(digest_of(one), one) for one in asked]
            )
            columns = ("learner", "day", "exercise", "band_hz", "asked", "right")
            bare.executemany(_insert("tallies", columns), ((*key, *sums) for key, sums in tallied.items()))
        bare.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def learner_names(count: int) -> list[str]:
    """Return the names of the learners of a programme, in order."""
    return [f"{NAMES[number % len(NAMES)]} {number // len(NAMES) + 1:02d}" for number in range(count)]


def practice_days() -> list[date]:
    """Return the days on which everybody practises."""
    days = range(WEEKS * WEEK_DAYS)
    return [(BEGINS + timedelta(days=day)).date() for day in days if day % WEEK_DAYS < PRACTICE_DAYS]


def _insert(table: str, columns: tuple[str, ...]) -> str:
    names, places = ", ".join(f'"{name}"' for name in columns), ", ".join("?" * len(columns))
    return f"INSERT INTO {table} ({names}) VALUES ({places})"


def _tally(rows: list[Row], tallied: Tallied) -> None:
    learner, at_us, exercise, evidence = map(COLUMNS.index, ("learner", "at_us", "exercise", "evidence"))
    for row in rows:
        for one in evidence_in(row[evidence]):
            for band_hz, weight in one.bands.items():
                key = (row[learner], row[at_us] // DAY_US, row[exercise], band_hz)
                sums = tallied.setdefault(key, [0.0, 0.0])
                sums[0] += weight
                sums[1] += weight if one.named else 0.0


def _pages(learners: int, attempts: int, seed: int) -> Iterator[list[Row]]:
    """Yield the rows day by day, page by page."""
    rng, names, days = default_rng(seed), learner_names(learners), practice_days()
    spread = 0.3 * rng.standard_normal((learners, 1)) + 0.25 * rng.standard_normal((learners, 10))
    ends = np.linspace(0, attempts, len(days) + 1).astype(int).tolist()
    for place, day in enumerate(days):
        t75_db = 8.0 * np.exp(spread - 0.4 * place / len(days))
        for first in range(ends[place], ends[place + 1], PAGE):
            numbers = np.arange(first, min(first + PAGE, ends[place + 1]))
            yield _rows(numbers, numbers - ends[place], number_of(day), names, t75_db, rng)


def _rows(
    numbers: Numbers, of_day: Numbers, day: int, names: list[str], t75_db: Floats, rng: Generator
) -> list[Row]:
    """Return the rows of some attempts of a day, by number; the learners take turns."""
    count, learners = len(numbers), len(names)
    kinds = rng.choice(len(KINDS), count, p=[kind.share for kind in KINDS])
    bands, ways, misses = (rng.integers(options, size=count) for options in (10, 2, 1000))
    needed_db = t75_db[numbers % learners, bands] * np.array([kind.harder for kind in KINDS])[kinds]
    sizes_db = np.clip(np.round(2.0 * needed_db * np.exp(0.3 * rng.standard_normal(count))) / 2.0, 1.5, 12.0)
    rights = rng.random(count) < chance_right(np.log(sizes_db / needed_db) + EASE_75)
    uids, flips, leaks = (
        rng.bytes(16 * count).hex(),
        rng.integers(1, 9, size=count),
        rng.integers(1, 400, size=count),
    )
    drawn = zip(
        *(found.tolist() for found in (numbers, of_day, kinds, bands, ways, misses, sizes_db, rights, flips, leaks)),
        strict=True,
    )  # fmt: skip
    made: list[Row] = []
    for number, place, kind, band, way, miss, size_db, right, flip, leak in drawn:
        who, turn = number % learners, place // learners
        at_us = day * DAY_US + NOON_US + turn * REP_US + who * REP_US // learners
        texts = _texts(KINDS[kind], names[who], f"{day:016x}{who:08x}{turn // BLOCK_REPS:08x}")
        answer = _answer(KINDS[kind], band, way, miss, right, leak / 1000, size_db)
        uid = uids[32 * len(made) : 32 * len(made) + 32]
        made.append((uid, at_us, *texts, str(number), size_db, float(right), 6.0, right, flip, *answer))
    return made


def _texts(kind: Kind, learner: str, block: str) -> Row:
    code = f"{kind.exercise}.tide-tables.0000"
    return (
        learner,
        block,
        kind.exercise,
        code,
        "tide-tables",
        "dB",
        kind.target,
        "headphones",
        "",
        __version__,
    )


def _answer(kind: Kind, band: int, way: int, miss: int, right: bool, leak: float, size_db: float) -> Row:
    """Return the last columns: what was true and said, the marks, what it says of the ear, what was on offer."""
    options = kind.hidden[1]
    true = options[band * len(options) // len(OCTAVES_HZ)]
    others = [option for option in options if option != true]
    said = true if right else others[miss % len(others)]
    answers_marks_told = _fields(kind, true, said, kind.ways[way])
    evidence = _evidence(kind, band, leak, size_db, right, way)
    return (*answers_marks_told[:-1], evidence, answers_marks_told[-1], digest_of(_asked(kind)))


@lru_cache(maxsize=4096)
def _fields(kind: Kind, true: str | float, said: str | float, way: str) -> Row:
    key = kind.hidden[0]
    answers = ({key: what, "direction": way} for what in (true, said))
    marks = {key: float(said == true), "direction": 1.0}
    told: dict[str, list[Any]] = {"direction": [way, way, []]} | (
        {"band": [true, said, []]} if kind.hidden == BY_BAND else {}
    )
    return (*map(_json, answers), _json(marks), _json([told]))


def _evidence(kind: Kind, band: int, leak: float, size_db: float, named: bool, way: int) -> str:
    """Return what an attempt says: of its octave band, or of those a section is heard in."""
    leaks = 0.0 if kind.hidden == BY_BAND else leak
    bands = [[OCTAVES_HZ[band], 1.0 - leaks], [OCTAVES_HZ[band - 1], leaks]]
    one = {
        "kind": kind.name,
        "size": size_db,
        "unit": "dB",
        "bands": bands[: 2 if leaks else 1],
        "named": named,
        "among": [float(len(kind.hidden[1])), 2.0],
        "direction": 1 - 2 * way,
        "start": 9.0,
    }
    return _json([one])


def _asked(kind: Kind) -> str:
    """Return what was on offer."""
    key, options = kind.hidden
    return asked_from(
        [{"key": key, "options": list(options)}, {"key": "direction", "options": list(kind.ways)}]
    )


def _json(plain: object) -> str:
    return json.dumps(plain, ensure_ascii=False)
