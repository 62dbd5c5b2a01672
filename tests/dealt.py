"""Blocks of reps that were dealt beforehand, for tests that need no store."""

from collections.abc import Callable, Iterator, Sequence

from tests.clock import Clock
from trainer.practice.attempt import Attempt
from trainer.practice.block import Block
from trainer.practice.deal import Rep
from trainer.practice.sitting import Sitting


class DealtReps:
    """Reps in a row, all of them there."""

    is_ready = True

    def __init__(self, reps: Sequence[Rep]) -> None:
        self._left = list(reps)

    def __next__(self) -> Rep:
        return self._left.pop(0)


def dealt_block(reps: Sequence[Rep], *, remember: Callable[[Attempt], object], clock: Clock) -> Block:
    """Return a block of Heron's of these reps."""
    uids: Iterator[int] = iter(range(1, 100))
    sitting = Sitting(
        uid=f"{0:032x}",
        learner="Heron",
        exercises=tuple({rep.exercise.key for rep in reps}),
        show="noise",
        count=len(reps),
        seed=1,
        size=None,
        begun_at=clock(),
    )
    return Block(
        sitting,
        reps=DealtReps(reps),
        remember=remember,
        now=clock,
        new_uid=lambda: f"{next(uids):032x}",
    )
