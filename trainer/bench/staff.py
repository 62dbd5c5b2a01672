"""A whole staff's season: the ears of a programme replayed in one go, a learner's page among a million answers."""

import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, time
from functools import partial
from pathlib import Path

from trainer.bench.drilling import peak_bytes
from trainer.bench.measure import median_s, seconds_of
from trainer.bench.programme import BEGINS, TODAY, programme_store
from trainer.bench.row import Clock, Measured, Scale
from trainer.progress.catching_up import catch_up
from trainer.progress.replay import ear_of, replay
from trainer.progress.roster_replay import replayed_all
from trainer.progress.store import Store, open_store
from trainer.reports.season_book import write_book_html, write_book_pdf
from trainer.season.book import book_of
from trainer.season.plan import usual_plan
from trainer.season.plan_text import keep_plan
from trainer.window.standing import standing_of

TIMES_MORE = 100
"""A programme is that much more than the answers of one learner that other rows look at."""
ANSWERS_EACH, LEARNERS = 500, 150
ASKED_ALONE = 2
"""How many learners are replayed one after the other, for all."""
PAGES = 5


def roster_replay(scale: Scale, clock: Clock) -> Measured:
    """Measure the log of a programme replayed from nothing, then from its days kept, beside learner by learner."""
    with _programme(scale) as (path, store):
        names, made_mb = store.log.learners(), peak_bytes() / 1e6
        look = partial(replayed_all, store, names, today=TODAY)
        first_s, again_s = (seconds_of(look, clock=clock) for _ in range(2))
        peak_mb = peak_bytes() / 1e6
        alone = [partial(_alone, store, name) for name in names[:ASKED_ALONE]]
        alone_s = median_s(alone, clock=clock) * len(names)
        with closing(sqlite3.connect(path)) as bare:
            bare_s = seconds_of(lambda: _read_all(bare), clock=clock)
        answers = store.log.count()
    note = (
        f"{answers} answers of {len(names)} learners; {again_s:.2f} s once their days are kept; "
        f"a bare read of the same rows {bare_s:.1f} s; {peak_mb:.0f} MB at most, {made_mb:.0f} MB before"
    )
    return Measured(first_s, alone_s, f"one after the other ({len(alone)} of them, times as many)", note)


def page(scale: Scale, clock: Clock) -> Measured:
    """Measure what a learner's progress page reads, trend and all, beside a bare read of their rows."""
    with _programme(scale) as (path, store):
        names = store.log.learners()[:PAGES]
        for name in names:
            ear_of(store, name, today=TODAY)
        now = datetime.combine(TODAY, time(12), tzinfo=UTC)
        pages = [partial(standing_of, store, name, now=now) for name in names]
        pages[0]()
        page_s = median_s(pages, clock=clock)
        with closing(sqlite3.connect(path)) as bare:
            bare_s = median_s([partial(_read_learner, bare, name) for name in names], clock=clock)
        note = f"the median of {len(names)} learners of {store.log.count() // len(store.log.learners())} answers each"
    return Measured(1e3 * page_s, 1e3 * bare_s, "bare read of the learner's rows", note)


def book(scale: Scale, clock: Clock) -> Measured:
    """Measure the season book of a programme, PDF and web page, from nothing kept; then with its days kept."""
    with _programme(scale) as (path, store):
        keep_plan(store, usual_plan(BEGINS.date()), now=BEGINS)
        make = partial(_write_book, store, path.parent)
        first_s, again_s = (seconds_of(make, clock=clock) for _ in range(2))
        answers, learners, peak_mb = store.log.count(), len(store.log.learners()), peak_bytes() / 1e6
    note = (
        f"{answers} answers of {learners} learners, PDF and web page; {again_s:.0f} s once their days are kept; "
        f"{peak_mb:.0f} MB at most"
    )
    return Measured(first_s, note=note)


def _write_book(store: Store, folder: Path) -> None:
    now = datetime.combine(TODAY, time(12), tzinfo=UTC)
    catch_up(store, store.log.learners(), today=TODAY, now=now)
    made = book_of(store, today=TODAY)
    write_book_pdf(made, folder / "book.pdf")
    write_book_html(made, folder / "book.html")


@contextmanager
def _programme(scale: Scale) -> Iterator[tuple[Path, Store]]:
    answers = TIMES_MORE * scale.attempts
    learners = max(1, min(LEARNERS, answers // ANSWERS_EACH))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "store.sqlite"
        programme_store(path, learners=learners, attempts=answers)
        with open_store(path, now=BEGINS) as store:
            yield path, store


def _alone(store: Store, learner: str) -> None:
    replay(store.log.attempts(learner=learner))


def _read_all(bare: sqlite3.Connection) -> int:
    return sum(1 for _ in bare.execute("SELECT * FROM attempts ORDER BY at_us, uid"))


def _read_learner(bare: sqlite3.Connection, learner: str) -> int:
    query = "SELECT * FROM attempts WHERE learner = ? ORDER BY at_us, uid"
    return len(bare.execute(query, (learner,)).fetchall())
