"""What may be told of a learner: not the quizzes they left in the middle, of which nothing is told before the end."""

from trainer.practice.attempt import Attempt
from trainer.progress.store import Store
from trainer.season.quiz import quiz_lengths
from trainer.season.quiz_sittings import sittings_begun


def untold_blocks(store: Store, learner: str) -> frozenset[str]:
    """Return the blocks of a learner's sittings of quizzes that are not at their end."""
    return frozenset(
        taken.block
        for uid, length in quiz_lengths(store).items()
        for taken in sittings_begun(store, uid, learner)
        if taken.answered < length
    )


def told_attempts(store: Store, learner: str, untold: frozenset[str]) -> list[Attempt]:
    """Return all of a learner's attempts but those of some blocks, in their order in time."""
    return [attempt for attempt in store.log.attempts(learner=learner) if attempt.block not in untold]
