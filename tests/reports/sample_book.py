"""A made-up season book: six learners, twelve weeks, a quiz of 24 students and 30 items; and its edges."""

from dataclasses import replace
from datetime import UTC, date, datetime

import numpy as np

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.progress.ear_figures import EarFigures, WeekTrend
from trainer.progress.figures.confusions import Confusions, band_confusions
from trainer.progress.figures.holes import Hole
from trainer.progress.figures.improvement import BandChange, Change, Improvement, TooEarly
from trainer.progress.figures.intervals import Estimate, Interval, wilson
from trainer.progress.figures.smallest_changes import SmallestChange
from trainer.season.pages import (
    Aim,
    AnswerSheet,
    Book,
    Candidate,
    LearnerPage,
    PositionPage,
    QuizItemPage,
    QuizPage,
    QuizScore,
    Reliability,
    RosterPage,
    RosterRow,
    SheetBlank,
    SheetChoice,
    SheetItem,
    SheetRows,
    WeekDone,
)

MADE_ON = date(2031, 4, 28)
WEEKS = 12
NAMES = ("Heron", "Plover", "Avocet", "Curlew", "Dunlin", "Sanderling")
STRANGE = (
    "Sanderling of the far northern shore, second season, third row from the left",
    "مالك الحزين",
    "青鷺 さぎ",
    "🐦 Heron",
    "<script>alert(1)</script> & \"Sons\" ]]>",
    "Zwei\tZeilen\nund\u0000\ufeff\u202e",
)  # fmt: skip
"""Names that are long, of other scripts, hostile, or of signs that cannot be seen."""


def known(
    band_hz: float, t75_db: float, low_db: float, high_db: float, *, week_1_db: float | None = 9.0
) -> SmallestChange:
    at_6_db = Estimate(0.75, Interval(0.6, 0.9), 30.0)
    return SmallestChange(band_hz, 30.0, 0, t75_db, Interval(low_db, high_db), week_1_db, at_6_db)


def unknown(band_hz: float) -> SmallestChange:
    return replace(known(band_hz, 8.0, 3.0, 20.0, week_1_db=None), answers=1.0, missing=19)


def improved() -> Improvement:
    change = Change(0.97, 0.7, Interval(0.55, 0.88))
    bands = tuple(BandChange(band_hz, change, 9.0, 6.3, is_told=True) for band_hz in NOMINAL_HZ)
    return Improvement(Change(0.998, 0.68, Interval(0.54, 0.85)), bands, NOMINAL_HZ[2:7], ())


def ear(rng: np.random.Generator) -> EarFigures:
    firsts = rng.uniform(6.0, 13.0, len(NOMINAL_HZ))
    nows = firsts * rng.uniform(0.5, 0.95, len(NOMINAL_HZ))
    bands = tuple(
        known(band_hz, now, now / 1.35, now * 1.35, week_1_db=first)
        for band_hz, now, first in zip(NOMINAL_HZ, nows.tolist(), firsts.tolist(), strict=True)
    )
    trend = tuple(
        WeekTrend(week, tuple((firsts + (nows - firsts) * (week / WEEKS) ** 0.6).tolist()))
        for week in range(1, WEEKS + 1)
    )
    return EarFigures(bands, trend, improved(), (Hole(500.0, 1.6, Interval(1.2, 2.1), 0.97),))


def said(rng: np.random.Generator, *, asked: int = 45) -> Confusions:
    counts = np.zeros((10, 10), dtype=int)
    for row in range(10):
        for column in np.clip(np.round(rng.normal(row, 0.9, asked)), 0, 9).astype(int):
            counts[row, column] += 1
    return Confusions("band", NOMINAL_HZ, tuple(map(tuple, counts.tolist())), (0, 1) * 5)


def learner(name: str, *, seed: int = 1) -> LearnerPage:
    rng = np.random.default_rng(seed)
    weeks = tuple(
        WeekDone(week, *((0, 0) if week == 5 else (int(rng.integers(60, 140)), int(rng.integers(5, 16)))))
        for week in range(1, WEEKS + 1)
    )
    return LearnerPage(
        name=name,
        role="audio staff",
        section="front ensemble",
        ear=ear(rng),
        answers=sum(week.answers for week in weeks),
        blocks=sum(week.blocks for week in weeks),
        days=58,
        first_day=date(2031, 2, 3),
        last_day=date(2031, 4, 27),
        weeks=weeks,
        confusions=said(rng),
        aims=tuple(
            Aim(band_hz, 5.5 + 0.5 * (band_hz < 100.0), float(rng.choice([0.03, 0.5, 0.95])))
            for band_hz in NOMINAL_HZ
        ),
        standing="On track in 8 and 16 kHz; behind in 500 Hz; too close to tell in 31.5, 63, 125 and 250 Hz, "
        "1, 2 and 4 kHz.",
        advice="Drill octave tone on the full mix and listen for 500 Hz (8.1 dB, 5.8–11.3 dB; the aim is 5.5 dB) "
        "and 63 Hz (7.2 dB, 5.0–10.6 dB; the aim is 6.0 dB). 500 Hz is taken for 1 kHz in 9 of 45: hear the two "
        "one after the other. On the whole smaller changes are named than in week 1.",
    )


def newcomer(name: str = "Curlew") -> LearnerPage:
    """Return somebody with no answers at all."""
    return LearnerPage(
        name=name,
        role="guest",
        section="",
        ear=EarFigures(tuple(map(unknown, NOMINAL_HZ)), (), TooEarly(14, 100)),
        answers=0,
        blocks=0,
        days=0,
        first_day=None,
        last_day=None,
        weeks=tuple(WeekDone(week, 0, 0) for week in range(1, WEEKS + 1)),
        confusions=band_confusions([]),
        aims=(),
        standing="",
        advice="Has not drilled yet: a block of 8 minutes a day is a beginning; figures come after 20 answers.",
    )


def beyond(name: str = "Dunlin") -> LearnerPage:
    """Return somebody whose figures lie partly beyond all that is asked, and partly are not known."""
    one = learner(name, seed=9)
    bands = list(one.ear.bands)
    bands[0] = known(31.5, 21.0, 11.2, 40.0, week_1_db=22.0)
    bands[1] = known(63.0, 40.0, 16.0, 90.0)
    bands[2] = known(125.0, 12.5, 8.4, 19.0, week_1_db=None)
    bands[9] = unknown(16000.0)
    return replace(one, ear=replace(one.ear, bands=tuple(bands), improvement=TooEarly(3, 0)))


def learners() -> tuple[LearnerPage, ...]:
    made = {name: learner(name, seed=number) for number, name in enumerate(NAMES)}
    return (*(made | {"Curlew": newcomer(), "Dunlin": beyond()}).values(),)


def row_of(page: LearnerPage) -> RosterRow:
    return RosterRow(page.name, page.role, page.section, page.ear, page.answers, page.last_day, page.standing)


def positions() -> tuple[PositionPage, ...]:
    best = (
        Candidate("Heron", 4.9, Interval(3.7, 6.6), 0.62),
        Candidate("Avocet", 5.4, Interval(4.0, 7.4), 0.30),
        Candidate("Plover", 6.6, Interval(4.9, 17.0), 0.07),
    )
    titles = (
        "low end and subs",
        "electronics and synths",
        "front ensemble",
        "brass and winds",
        "cymbals and air",
    )
    told = [
        PositionPage(
            title, NOMINAL_HZ[place : place + 3], best, "Too close to tell between Heron and Avocet."
        )
        for place, title in enumerate(titles)
    ]
    return (*told, PositionPage("voice and narration", NOMINAL_HZ[5:8], (), "Too early to tell of anybody."))


def quiz(*, students: int = 24, items: int = 30) -> QuizPage:
    rng = np.random.default_rng(5)
    rights = rng.integers(8, 1 + items, students) if items >= 8 else np.zeros(students, dtype=int)
    scores = tuple(
        QuizScore(
            name=f"Student {number + 1}",
            score=max(0.0, float(right) / items * 1.1 - 0.1),
            right=Estimate(float(right) / items, wilson(float(right), items), items),
            answered=items - (number == 3),
            by_field={"octave band": float(rng.uniform(0.1, 1.0)), "direction": float(rng.uniform(0.0, 1.0))},
            by_band={band_hz: float(rng.uniform(0.0, 1.0)) for band_hz in NOMINAL_HZ},
        )
        for number, right in enumerate(rights.tolist())
    )
    pages = tuple(
        QuizItemPage(
            number=number,
            words=f"octave band {NOMINAL_HZ[number % 10]:g} Hz, boost, in the full mix (size {4 + number % 3} dB)",
            size=4.0 + number % 3,
            unit="dB",
            difficulty=Estimate(right / 24, wilson(right, 24), 24),
            mean_score=0.3 + 0.6 * right / 24,
            discrimination=None if number == 4 else float(rng.uniform(-0.3, 0.8)),
            flag="better ears did worse on it" if number == 7 else "",
        )
        for number, right in enumerate(rng.integers(3, 25, items).tolist(), 1)
    )
    return QuizPage(
        title="Ears before camp",
        made_at=datetime(2031, 4, 20, 18, 0, tzinfo=UTC),
        scores=scores,
        mean=0.58,
        deviation=0.19,
        reliability=Reliability(0.84, Interval(0.74, 0.91), 0.81, 0.08),
        items=pages,
        confusions=said(rng, asked=72),
        remarks=(
            "Alpha is 0.84 (0.74 to 0.91): a score is good to about ± 8 points.",
            "500 Hz was taken for 1 kHz 14 times of 72.",
        ),
    )


def book(
    pages: tuple[LearnerPage, ...] | None = None, *, quizzes: tuple[QuizPage, ...] | None = None
) -> Book:
    shown = learners() if pages is None else pages
    return Book(
        title="The Tide Tables",
        made_on=MADE_ON,
        season="3 February 2031 to 3 May 2031, week 12 of 13; next show: Finals, 3 May 2031",
        learners=shown,
        roster=RosterPage(tuple(map(row_of, shown)), positions() if shown else ()),
        quizzes=(quiz(),) if quizzes is None else quizzes,
    )


def nobody() -> Book:
    """Return the book of an empty roster, without plan or quiz."""
    return replace(book((), quizzes=()), season="No season plan yet.")


def unplanned() -> Book:
    """Return a book without a plan: no aims."""
    pages = tuple(replace(page, aims=(), standing="") for page in learners())
    return replace(book(pages, quizzes=()), season="No season plan yet.")


def strangers() -> Book:
    """Return a book of strange names."""
    pages = tuple(learner(name, seed=number) for number, name in enumerate(STRANGE))
    scores = tuple(replace(score, name=name) for score, name in zip(quiz().scores, STRANGE, strict=False))
    made = replace(quiz(), title=STRANGE[4], scores=scores, remarks=STRANGE)
    best = tuple(Candidate(name, 5.0, Interval(3.0, 7.0), 0.5) for name in STRANGE[:3])
    told = book(pages, quizzes=(made,))
    shown = tuple(replace(one, candidates=best, words=f"{STRANGE[0]} hears it best.") for one in positions())
    return replace(told, title=STRANGE[4], roster=replace(told.roster, positions=shown))


BAND = SheetChoice("octave band", ("31.5", "63", "125", "250", "500", "1k", "2k", "4k", "8k", "16k"))
DIRECTION = SheetChoice("direction", ("boost", "cut"))
STEMS = (
    "snare line", "tenor line", "bass line", "cymbals", "marimba", "vibraphone", "xylophone", "glockenspiel",
    "drum set", "timpani", "rack", "synth keys", "synth bass", "trumpets", "mellophones", "baritones", "tubas",
    "flutes", "clarinets", "narration",
)  # fmt: skip
HARDNESS = SheetChoice("gain reduction", ("light, about 3 dB", "firm, about 6 dB", "hard, about 12 dB"))
SPEED = SheetChoice("speed", ("fast (attack 1 ms, release 60 ms)", "slow (attack 30 ms, release 500 ms)"))
SECTIONS = SheetChoice("section", ("front ensemble", "battery", "brass", "woodwinds", "electronics"))
AMOUNT = SheetChoice("amount", ("2 dB", "4 dB", "6 dB"))


def tone_item(number: int, where: str = "full mix") -> SheetItem:
    return SheetItem(number, f"In the {where}: which octave band is boosted or cut?", (BAND, DIRECTION))


def compression_item(number: int, stems: int = 20) -> SheetItem:
    fields = (SheetChoice("stem", STEMS[:stems]), HARDNESS, SPEED)
    return SheetItem(number, "Which stem is compressed, how hard, and how fast?", fields)


def level_item(number: int) -> SheetItem:
    fields = (SECTIONS, SheetChoice("direction", ("up", "down")), AMOUNT)
    return SheetItem(number, "Which section is louder or softer, and by how much?", fields)


THIRDS = SheetChoice(
    "third-octave band",
    ("25", "31.5", "40", "50", "63", "80", "100", "125", "160", "200", "250", "315", "400", "500", "630", "800", "1k",
     "1.25k", "1.6k", "2k", "2.5k", "3.15k", "4k", "5k", "6.3k", "8k", "10k", "12.5k", "16k", "20k"),
)  # fmt: skip
CHANGES = SheetRows("changes", (BAND, DIRECTION), 4, "nothing")
UP_OR_DOWN = SheetChoice("direction", ("up", "down"))
STEM_CHANGES = SheetRows("changes", (SheetChoice("stem", STEMS), UP_OR_DOWN), 3, "nothing")
GAIN = SheetBlank("gain", "dB", "-12 to 12")


def thirds_item(number: int) -> SheetItem:
    return SheetItem(
        number, "In the full mix: which third-octave band is boosted or cut?", (THIRDS, DIRECTION)
    )


def list_item(number: int, rows: SheetRows = CHANGES) -> SheetItem:
    return SheetItem(number, "In the full mix: what was changed?", (rows,))


def gain_item(number: int) -> SheetItem:
    return SheetItem(number, "How far was 1 kHz boosted or cut?", (GAIN,))


def sheet(items: tuple[SheetItem, ...]) -> AnswerSheet:
    return AnswerSheet("Ears before camp", "TIDE-7K3", items)


SHEETS = {
    "octave tone in many places": tuple(
        tone_item(number, ("full mix", "front ensemble", "battery")[number % 3]) for number in range(1, 41)
    ),
    "octave tone in the mix": tuple(tone_item(number) for number in range(1, 31)),
    "compression of twenty stems": tuple(compression_item(number) for number in range(1, 41)),
    "of everything": tuple(
        (tone_item(number), compression_item(number, 17), level_item(number))[number % 3]
        for number in range(1, 41)
    ),
    "third-octave bands": tuple(thirds_item(number) for number in range(1, 21)),
    "lists to circle": tuple(list_item(number) for number in range(1, 11)),
    "lists to write": tuple(list_item(number) for number in range(1, 15)),
    "lists of stems": tuple(list_item(number, STEM_CHANGES) for number in range(1, 11)),
    "controls": tuple(gain_item(number) for number in range(1, 41)),
    "every kind of field": tuple(
        (list_item(n), gain_item(n), thirds_item(n), tone_item(n), level_item(n))[n % 5] for n in range(1, 16)
    ),
    "a few": tuple((tone_item(n), compression_item(n, 17), level_item(n))[n % 3] for n in range(1, 10)),
}
"""Items of the sheets that are tried, by what they are of."""
