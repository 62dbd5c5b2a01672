"""Chores: work done in a thread beside the window, its results handed back where the window asks for them."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from queue import Empty, SimpleQueue
from typing import Protocol, TypeVar

T = TypeVar("T")
Failed = Callable[[BaseException], None]


class Chores(Protocol):
    """Does work beside the window."""

    def do(self, work: Callable[[], T], then: Callable[[T], None], failed: Failed) -> None:
        """Do some work; ``then`` gets what comes of it, ``failed`` what was raised, both in ``settle``."""

    def settle(self) -> bool:
        """Hand over what is done; say whether anything was."""


class ThreadChores:
    """One worker thread; ``wake`` is called there when something is done."""

    def __init__(self, *, wake: Callable[[], None]) -> None:
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="chore")
        self._done: SimpleQueue[Callable[[], None]] = SimpleQueue()
        self._wake = wake

    def do(self, work: Callable[[], T], then: Callable[[T], None], failed: Failed) -> None:
        """Do some work in the thread."""

        def done(future: Future[T]) -> None:
            error = None if future.cancelled() else future.exception()
            if error is not None:
                self._done.put(lambda: failed(error))
            elif not future.cancelled():
                self._done.put(lambda: then(future.result()))
            self._wake()

        self._worker.submit(work).add_done_callback(done)

    def settle(self) -> bool:
        """Hand over what is done, in the window's own thread."""
        handed = False
        while True:
            try:
                hand_over = self._done.get_nowait()
            except Empty:
                return handed
            hand_over()
            handed = True

    def close(self) -> None:
        """Begin nothing more; what is under way is not waited for."""
        self._worker.shutdown(wait=False, cancel_futures=True)
