"""The pages of the season book as values: what is on each, every figure worked out; `trainer.reports` draws them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from trainer.progress.ear_figures import EarFigures
from trainer.progress.figures.confusions import Confusions
from trainer.progress.figures.intervals import Estimate, Interval


@dataclass(frozen=True, slots=True)
class Aim:
    """What is aimed at in an octave band this week, and the chance that T75 is that small already."""

    band_hz: float
    aim_db: float
    chance: float


@dataclass(frozen=True, slots=True)
class WeekDone:
    """What somebody did in a week of the season: ``week`` counts from 1, ``answers`` and ``blocks`` in all."""

    week: int
    answers: int
    blocks: int


@dataclass(frozen=True, slots=True)
class LearnerPage:
    """One learner's page.

    Attributes
    ----------
    name, role, section
        As on the roster; ``section`` may be empty.
    ear
        T75 by band, now, in week 1 and week by week; improvement; holes.
    answers, blocks, days
        How many there are in all, and on how many days.
    first_day, last_day
        Of the answers; None where there are none.
    weeks
        What was done week by week, from the season's first week to this one, idle weeks included.
    confusions
        Which band was said for which, of octave tone.
    aims
        This week's, band by band; empty where there is no plan.
    standing
        How it stands with the aims, in words; empty where there is no plan.
    advice
        One paragraph: what to drill next, and why.
    """

    name: str
    role: str
    section: str
    ear: EarFigures
    answers: int
    blocks: int
    days: int
    first_day: date | None
    last_day: date | None
    weeks: tuple[WeekDone, ...]
    confusions: Confusions
    aims: tuple[Aim, ...]
    standing: str
    advice: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """Somebody for a console position: their mean T75 over its bands, how sure, and the chance to be the best."""

    name: str
    t75_db: float
    interval: Interval
    chance_best: float


@dataclass(frozen=True, slots=True)
class PositionPage:
    """A console position: what is listened for there, and the best ears for it, best first; ``words`` says it."""

    title: str
    bands_hz: tuple[float, ...]
    candidates: tuple[Candidate, ...]
    words: str


@dataclass(frozen=True, slots=True)
class RosterRow:
    """One line of the roster: T75 is in ``ear.bands``; ``standing`` says how it stands with the aims."""

    name: str
    role: str
    section: str
    ear: EarFigures
    answers: int
    last_day: date | None
    standing: str


@dataclass(frozen=True, slots=True)
class RosterPage:
    """The whole roster, and whom to sit where."""

    rows: tuple[RosterRow, ...]
    positions: tuple[PositionPage, ...]


@dataclass(frozen=True, slots=True)
class QuizScore:
    """What somebody reached: 0 by guessing, 1 at best; ``answered`` of the items; fields' and bands' scores alike."""

    name: str
    score: float
    right: Estimate
    answered: int
    by_field: Mapping[str, float] = field(hash=False)
    by_band: Mapping[float, float] = field(hash=False)


@dataclass(frozen=True, slots=True)
class QuizItemPage:
    """How one item did.

    Attributes
    ----------
    number, words
        Its number, and what was true of it in words.
    size, unit
        How big its change was.
    difficulty
        The share that was wholly right, with its interval.
    mean_score
        The mean credit, 0 to 1.
    discrimination
        The correlation of this item with the sum of the others; None where it cannot be told.
    flag
        What is odd about it, in words; empty where nothing is.
    """

    number: int
    words: str
    size: float
    unit: str
    difficulty: Estimate
    mean_score: float
    discrimination: float | None
    flag: str


@dataclass(frozen=True, slots=True)
class Reliability:
    """Cronbach's alpha of the credits, KR-20 of right and wrong; None where they cannot be told.

    ``give_or_take`` is the standard error of a shown score by alpha, on its scale from 0 to 1.
    """

    alpha: float | None
    alpha_interval: Interval | None
    kr20: float | None
    give_or_take: float | None


@dataclass(frozen=True, slots=True)
class QuizPage:
    """One quiz and the class that took it."""

    title: str
    made_at: datetime
    scores: tuple[QuizScore, ...]
    mean: float
    deviation: float
    reliability: Reliability
    items: tuple[QuizItemPage, ...]
    confusions: Confusions
    remarks: tuple[str, ...]
    """In words: what stands out, the bands the class confuses first."""


@dataclass(frozen=True, slots=True)
class Book:
    """The season book."""

    title: str
    made_on: date
    season: str
    """The plan in a line of words: from when to when, which week this is, the next show."""
    learners: tuple[LearnerPage, ...]
    roster: RosterPage
    quizzes: tuple[QuizPage, ...]


SHEET_NUMBER = "#"
"""What the number of an option begins with on an answer sheet: it is no number of hertz or decibels."""


@dataclass(frozen=True, slots=True)
class SheetChoice:
    """A field of an answer sheet with the options' words, in order: one of them is circled."""

    title: str
    options: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetBlank:
    """A field of an answer sheet for a number, written before its unit; ``travel`` says from where to where."""

    title: str
    unit: str
    travel: str


@dataclass(frozen=True, slots=True)
class SheetRows:
    """A field of an answer sheet with so many ``rows``, an option of each column in each; or ``nothing``."""

    title: str
    columns: tuple[SheetChoice, ...]
    rows: int
    nothing: str


SheetField = SheetChoice | SheetBlank | SheetRows


@dataclass(frozen=True, slots=True)
class SheetItem:
    """One item of an answer sheet: its question, and its fields in order."""

    number: int
    question: str
    fields: tuple[SheetField, ...]


@dataclass(frozen=True, slots=True)
class AnswerSheet:
    """What is printed for a class to write on; ``code`` names the quiz, nothing of its answers."""

    title: str
    code: str
    items: tuple[SheetItem, ...]
