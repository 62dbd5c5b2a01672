"""The quiz desk: which quizzes there are and how it stands with each for a learner, and the result that is shown."""

from dataclasses import dataclass, field

from trainer.progress.store import Store
from trainer.season.plan_words import day_words
from trainer.season.quiz import Quiz, quizzes_of
from trainer.season.quiz_marking import Sheet, sheets_by_block
from trainer.season.quiz_sittings import Taken, allowed_sittings, left_in_the_middle, sittings_taken
from trainer.window.listing import Listing, PageLength

QUIZZES_LENGTH = PageLength(8, 5)
ITEMS_LENGTH = PageLength(12, 6)


@dataclass(frozen=True, slots=True)
class Entry:
    """A quiz as a learner finds it: the sittings they have begun, and how many they are allowed."""

    quiz: Quiz
    taken: tuple[Taken, ...]
    allowed: int

    @property
    def begun(self) -> Taken | None:
        """The sitting that was left in the middle."""
        return left_in_the_middle(self.quiz, self.taken)

    @property
    def whole(self) -> Taken | None:
        """The last sitting that was taken to its end."""
        return next((one for one in reversed(self.taken) if one.answered >= len(self.quiz.items)), None)

    @property
    def may_take(self) -> bool:
        """Whether a sitting can be begun or gone on with."""
        return self.begun is not None or len(self.taken) < self.allowed

    @property
    def words(self) -> str:
        """How it stands, in a few words."""
        if self.begun is not None:
            return f"left after {self.begun.answered} of {len(self.quiz.items)}"
        if self.whole is None:
            return "not taken yet"
        return f"taken on {day_words(self.whole.begun_at.date())}"


@dataclass(frozen=True, slots=True)
class Result:
    """What came of one sitting of a quiz."""

    quiz: Quiz
    sheet: Sheet


@dataclass
class QuizDesk:
    """The quizzes for one learner; ``entries`` is None while they are looked up."""

    entries: tuple[Entry, ...] | None = None
    result: Result | None = None
    listing: Listing = field(default_factory=lambda: Listing(QUIZZES_LENGTH))
    items: Listing = field(default_factory=lambda: Listing(ITEMS_LENGTH))

    @property
    def chosen(self) -> Entry | None:
        """The quiz the keys are on."""
        return self.entries[self.listing.at] if self.entries else None

    def choose(self, uid: str | None) -> Entry | None:
        """Go to the quiz of a uid and return it; None stands for the one the keys are on."""
        for place, entry in enumerate(self.entries or ()):
            if entry.quiz.uid == uid:
                self.listing.hold(self.listing.count, place)
        return self.chosen if uid is None or (self.chosen and self.chosen.quiz.uid == uid) else None

    def show(self, entries: tuple[Entry, ...]) -> None:
        """Show the quizzes, the keys where they were."""
        self.entries = entries
        self.listing.hold(len(entries), self.listing.at)

    def open(self, result: Result) -> None:
        """Show a result from its first item."""
        self.result = result
        self.items.hold(len(result.quiz.items))


def entries_of(store: Store, learner: str) -> tuple[Entry, ...]:
    """Return the quizzes as a learner finds them, the newest first."""
    return tuple(
        Entry(quiz, sittings_taken(store, quiz, learner), allowed_sittings(store, quiz, learner))
        for quiz in quizzes_of(store)
    )


def result_of(store: Store, quiz: Quiz, learner: str, block: str) -> Result:
    """Return what came of a learner's sitting."""
    return Result(quiz, sheets_by_block(store, quiz, learner)[block])
