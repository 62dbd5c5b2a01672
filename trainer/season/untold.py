"""What may be told of a learner: not the quizzes they left in the middle, of which nothing is told before the end."""

from trainer.practice.attempt import Attempt
from trainer.progress.store import Store
from trainer.season.quiz import quizzes_of
from trainer.season.quiz_sittings import sittings_taken


def untold_blocks(store: Store, learner: str) -> frozenset[str]:
    """Return the blocks of a learner's sittings of quizzes that are not at their end."""
    return frozenset(
        taken.block
        for quiz in quizzes_of(store)
        for taken in sittings_taken(store, quiz, learner)
        if taken.answered < len(quiz.items)
    )


def told_attempts(store: Store, learner: str, untold: frozenset[str]) -> list[Attempt]:
    """Return all of a learner's attempts but those of some blocks, in their order in time."""
    return [attempt for attempt in store.log.attempts(learner=learner) if attempt.block not in untold]
