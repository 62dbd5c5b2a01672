"""The store and the figures: what it costs to remember an answer, and to show the progress of thousands."""

import sqlite3
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import closing
from dataclasses import astuple
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

from trainer import __version__
from trainer.bench.measure import median_s
from trainer.bench.row import Clock, Measured, Scale
from trainer.practice.attempt import Attempt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.evidence import BAND, DIRECTION, Evidence, Told
from trainer.practice.fields import BandField, DirectionField
from trainer.practice.question_text import asked_from
from trainer.practice.values import Value
from trainer.progress.figures import band_figures_of
from trainer.progress.store import open_store

START = datetime(2030, 1, 7, 18, tzinfo=UTC)
LEARNER = "bench"
ASKED = asked_from([BandField().plain(), DirectionField().plain()])


def attempts(count: int) -> Iterator[Attempt]:
    """Yield so many attempts of one learner, half a minute apart."""
    for number in range(count):
        band_hz = OCTAVE_SCALE.names_hz[number % len(OCTAVE_SCALE.names_hz)]
        right = number % 3 != 0
        answer: dict[str, Value] = {"band": band_hz, "direction": "boost"}
        yield Attempt(
            uid=uuid.UUID(int=number + 1).hex,
            at=START + timedelta(seconds=30 * number),
            learner=LEARNER,
            block=uuid.UUID(int=number // 10 + 1).hex,
            exercise="octave-tone",
            rep_code="octave-tone.field-show.0000",
            show="field-show",
            seed=number,
            size=6.0,
            unit="dB",
            target="mix",
            right_answer=answer,
            given_answer=answer if right else {**answer, "direction": "cut"},
            asked=ASKED,
            marks={"band": 1.0, "direction": 1.0 if right else 0.4},
            score=1.0 if right else 0.4,
            right=right,
            evidence=(_evidence(band_hz, is_named=right),),
            response_s=6.0,
            flips=3,
            setup="",
            quiz_item="",
            version=__version__,
        )


def _evidence(band_hz: float, *, is_named: bool) -> Evidence:
    said = "boost" if is_named else "cut"
    told = {BAND: Told(band_hz, band_hz), DIRECTION: Told("boost", said)}
    return Evidence("octave-tone/mix", 6.0, "dB", {band_hz: 1.0}, is_named, (10.0, 2.0), 1, told, 9.0)


def add(scale: Scale, clock: Clock) -> Measured:
    """Measure how long an answer takes to be on the disk, beside a bare insert that is as safe."""
    with tempfile.TemporaryDirectory() as folder:
        with open_store(Path(folder) / "store.sqlite", now=START) as store:
            works = [partial(store.log.add, attempt) for attempt in attempts(scale.adds)]
            ours_s = median_s(works, clock=clock)
        with closing(sqlite3.connect(Path(folder) / "bare.sqlite")) as bare:
            bare.executescript(
                "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; CREATE TABLE a (row TEXT)"
            )
            inserts = [partial(_insert, bare, repr(astuple(attempt))) for attempt in attempts(scale.adds)]
            bare_s = median_s(inserts, clock=clock)
    return Measured(1e3 * ours_s, 1e3 * bare_s, "bare sqlite3 insert, as durable")


def figures(scale: Scale, clock: Clock) -> Measured:
    """Measure the progress of a learner with many answers in the store, beside a bare read of them."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "store.sqlite"
        with open_store(path, now=START) as store:
            store.log.add_all(attempts(scale.attempts))
            works = [lambda: band_figures_of(store.sums.tallies(learner=LEARNER))] * 3
            ours_s = median_s(works, clock=clock)
        with closing(sqlite3.connect(path)) as bare:
            reads = [lambda: bare.execute("SELECT * FROM attempts").fetchall()] * 3
            bare_s = median_s(reads, clock=clock)
    return Measured(ours_s, bare_s, "bare read of the same rows", f"{scale.attempts} answers of one learner")


def _insert(connection: sqlite3.Connection, row: str) -> None:
    with connection:
        connection.execute("INSERT INTO a VALUES (?)", (row,))
