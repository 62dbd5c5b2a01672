"""Catching up: ears that were never replayed, on all cores at once; each process keeps the days of its learners.

What is kept is the same to the last bit whoever replays it, so it can be read as if it had been there. What a
process could not do is done, and its trouble told, by whoever reads the ears next.
"""

import multiprocessing
import os
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor, wait
from datetime import date, datetime
from typing import Any

from trainer.progress.replay import Heard, made_by_of
from trainer.progress.roster_replay import replayed_all
from trainer.progress.store import Store, open_store

WORTH_IT = 50_000
"""Of so many answers on a process pays for its start."""
LOOKED_S = 0.2


def catch_up(
    store: Store,
    learners: Sequence[str],
    *,
    today: date,
    now: datetime,
    heard: Heard = lambda _: None,
    cores: int | None = None,
) -> None:
    """Have the days kept of learners of whom none are yet, if there is enough to replay and a core to do it.

    Parameters
    ----------
    heard
        Told now and then how many answers were replayed.
    cores
        How many processes; as many as the machine has cores where none is given.
    """
    made_by = made_by_of()
    unkept = [
        name for name in learners if not store.ears.kept(name, made_by=made_by, before=today, only_last=True)
    ]
    processes = cores or os.cpu_count() or 1
    if processes < 2 or len(unkept) < processes or store.log.count() < WORTH_IT:
        return
    context = multiprocessing.get_context("spawn")
    counts, total = context.Queue(), 0
    with ProcessPoolExecutor(processes, context, _take, (counts,)) as pool:
        shares = [unkept[first::processes] for first in range(processes)]
        works = [pool.submit(_replay, store.address, share, today, now) for share in shares]
        while wait(works, timeout=LOOKED_S).not_done:
            while not counts.empty():
                total += counts.get()
            heard(total)


_told: list[Any] = []
"""In a process of the pool: the queue that hears how many answers were replayed."""


def _take(queue: Any) -> None:
    _told.append(queue)


def _replay(place: str, learners: Sequence[str], today: date, now: datetime) -> None:
    heard_before = 0

    def heard(count: int) -> None:
        nonlocal heard_before
        _told[0].put(count - heard_before)
        heard_before = count

    with open_store(place, now=now) as store:
        replayed_all(store, learners, today=today, heard=heard)
