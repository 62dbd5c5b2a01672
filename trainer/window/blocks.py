"""The blocks of a session: the one that is made ready while somebody looks at today's page, and the open one."""

from contextlib import ExitStack
from dataclasses import dataclass

from trainer.assembly import Assembly
from trainer.practice.block import Block
from trainer.practice.sitting import Sitting
from trainer.progress.due import Plan
from trainer.progress.store import Store


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
    plan
        What is due, once that is worked out.
    ready
        The block that can be begun at once.
    """

    def __init__(self, assembly: Assembly, store: Store) -> None:
        self._assembly, self._store = assembly, store
        self.to_go_on: Sitting | None = None
        self.plan: Plan | None = None
        self.ready: Ready | None = None

    @property
    def reps_left(self) -> int:
        """How many reps the block that is ready still has."""
        return 0 if self.ready is None else self.ready.block.count - len(self.ready.block.marks)

    @property
    def due(self) -> tuple[str, ...]:
        """The keys of the exercises that are due; empty while that is not worked out."""
        return () if self.plan is None else self.plan.exercises

    def plan_of(self, sitting: Sitting) -> Plan | None:
        """Return what was due when a sitting was begun; None where it was begun otherwise, or gone on with."""
        is_due = self.plan is not None and set(sitting.exercises) == set(self.plan.exercises)
        return self.plan if is_due and sitting != self.to_go_on else None

    def look_back(self, learner: str) -> None:
        """Have the first rep of the block that was left in the middle made, if there is one."""
        self.to_go_on = self._assembly.open_sitting(self._store, learner)
        if self.ready is None and self.to_go_on is not None:
            self.make_ready(self.to_go_on)

    def planned(self, learner: str, *, minutes: int, rep_s: float) -> Plan:
        """Return what is due today; reads the learner's whole log where nothing of it was kept yet."""
        return self._assembly.plan(self._store, learner, minutes=minutes, rep_s=rep_s)

    def take(self, plan: Plan, learner: str, show: str) -> None:
        """Take what is due, and have the first rep of it made if no other block is ready."""
        self.plan = plan
        if self.ready is None:
            self.make_ready(self.new_sitting(learner, plan.exercises, show))

    def new_sitting(self, learner: str, exercises: tuple[str, ...], show: str) -> Sitting:
        """Return a sitting of a new block, as long as what is due."""
        if self.plan is None:
            raise ValueError("a new block is as long as what is due, and that is not worked out yet")
        return self._assembly.new_sitting(learner, exercises, show, self.plan.count)

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

    def forget(self) -> None:
        """Let go of the present block and of what was due."""
        self.drop()
        self.plan = None
