"""The blocks of a session: the one that is made ready while somebody looks at today's page, and the open one."""

from contextlib import ExitStack
from dataclasses import dataclass

from trainer.assembly import Assembly
from trainer.practice.block import Block
from trainer.practice.sitting import Sitting
from trainer.progress.store import Store

REPS = 10
"""How many reps a block has."""


@dataclass(frozen=True, slots=True)
class Ready:
    """A block whose first rep is being made, and what lets go of it."""

    sitting: Sitting
    block: Block
    stack: ExitStack


class Blocks:
    """Makes blocks ready and lets go of them, one at a time.

    Attributes
    ----------
    to_go_on
        The sitting that was left in the middle, if there is one.
    ready
        The block that can be begun at once.
    """

    def __init__(self, assembly: Assembly, store: Store) -> None:
        self._assembly, self._store = assembly, store
        self.to_go_on: Sitting | None = None
        self.ready: Ready | None = None

    @property
    def reps_left(self) -> int:
        """How many reps the block that is ready still has."""
        return REPS if self.ready is None else self.ready.block.count - len(self.ready.block.marks)

    def prepare(self, learner: str, show: str) -> None:
        """Have the first rep of the block that is due made: the one left in the middle, or a new one."""
        self.to_go_on = self._assembly.open_sitting(self._store, learner)
        if self.ready is None:
            exercises = tuple(self._assembly.catalogue.exercises)
            self.make_ready(self.to_go_on or self.new_sitting(learner, exercises, show))

    def new_sitting(self, learner: str, exercises: tuple[str, ...], show: str) -> Sitting:
        """Return a sitting of a new block."""
        return self._assembly.new_sitting(learner, exercises, show, REPS)

    def make_ready(self, sitting: Sitting) -> None:
        """Let go of the present block, and have the first rep of another one made."""
        self.drop()
        stack = ExitStack()
        block = stack.enter_context(self._assembly.block(self._store, sitting))
        self.ready = Ready(sitting, block, stack)

    def drop(self) -> None:
        """Let go of the present block, if there is one."""
        if self.ready is not None:
            self.ready.stack.close()
            self.ready = None
