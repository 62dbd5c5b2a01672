"""Dealing ahead: the next rep is made while the learner listens to this one."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager

from trainer.practice.deal import Rep

NextRep = Callable[[], Rep]


@contextmanager
def dealt_ahead(deals: Iterator[NextRep]) -> Iterator[Iterator[Rep]]:
    """Give the reps of some deals in order, each made in a worker thread before it is asked for.

    An error in a deal is raised where its rep is taken.
    """
    worker = ThreadPoolExecutor(1, thread_name_prefix="deal")
    try:
        yield _reps(worker, deals)
    finally:
        worker.shutdown(wait=True, cancel_futures=True)


def _reps(worker: ThreadPoolExecutor, deals: Iterator[NextRep]) -> Iterator[Rep]:
    waiting = _begun(worker, deals)
    while waiting is not None:
        rep = waiting.result()
        waiting = _begun(worker, deals)
        yield rep


def _begun(worker: ThreadPoolExecutor, deals: Iterator[NextRep]) -> Future[Rep] | None:
    deal = next(deals, None)
    return None if deal is None else worker.submit(deal)
