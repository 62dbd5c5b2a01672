"""What the window shows: places, what may lie over them, and notices. Light: the first frame needs it."""

from dataclasses import dataclass
from enum import Enum

from trainer.window.control import Intent


class Place(Enum):
    """The pages."""

    LEARNERS = "learners"
    SETUP = "setup"
    TODAY = "today"
    REP = "rep"
    REVEAL = "reveal"
    SUMMARY = "summary"
    PROGRESS = "progress"
    QUIZZES = "quizzes"
    RESULT = "result"
    ROSTER = "roster"
    SEASON = "season"


class Over(Enum):
    """What lies over a page and is answered first."""

    KEYS = "keys"
    PAUSE = "pause"
    BREAK = "break"
    LEAVE = "leave"


@dataclass(frozen=True, slots=True)
class Notice:
    """Trouble to be told of beside what is going on: in words, and what can be done about it.

    ``about`` names what it is of, so that the next word on the same thing takes its place.
    """

    about: str
    words: str
    way_on: str = ""
    intent: Intent | None = None
