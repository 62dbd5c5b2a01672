"""Dealing ahead: the next rep is made while the learner listens to this one."""

from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ThreadPoolExecutor
from contextlib import contextmanager

from trainer.practice.deal import Rep

Deal = Callable[[int], Rep]
"""Makes the rep for one place in a block; told how often that failed before, it makes another one."""


class DealtAhead:
    """The reps of some deals, in order; the next is made in a worker before it is asked for.

    A deal that fails raises its error where its rep is taken, and another one for the same place is begun.
    """

    def __init__(self, deals: Iterable[Deal], worker: Executor) -> None:
        self._deals = iter(deals)
        self._worker = worker
        self._deal: Deal | None = None
        self._failures = 0
        self._waiting: Future[Rep] | None = None
        self._go_on()

    @property
    def is_ready(self) -> bool:
        """Whether the next rep, or the error in its place, is there without waiting."""
        return self._waiting is not None and self._waiting.done()

    def __iter__(self) -> Iterator[Rep]:
        return self

    def __next__(self) -> Rep:
        if self._waiting is None:
            raise StopIteration
        error = self._waiting.exception()
        if error is not None:
            self._failures += 1
            self._begin()
            raise error
        rep = self._waiting.result()
        self._go_on()
        return rep

    def close(self) -> None:
        """Begin no more deals and give no more reps."""
        self._deal = self._waiting = None

    def _go_on(self) -> None:
        self._deal, self._failures = next(self._deals, None), 0
        self._begin()

    def _begin(self) -> None:
        self._waiting = None if self._deal is None else self._worker.submit(self._deal, self._failures)


@contextmanager
def dealt_ahead(deals: Iterable[Deal]) -> Iterator[DealtAhead]:
    """Give the reps of some deals, the first begun at once.

    Leaving does not wait for a deal under way: that one ends by itself, and what it made is dropped. The
    thread is no daemon, so that the interpreter never ends in the middle of a library's work.
    """
    worker = ThreadPoolExecutor(1, thread_name_prefix="deal")
    reps = DealtAhead(deals, worker)
    try:
        yield reps
    finally:
        reps.close()
        worker.shutdown(wait=False, cancel_futures=True)
