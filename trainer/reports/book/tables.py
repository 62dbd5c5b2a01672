"""The book's figures as tables, for eyes that hear and for copying: what the pictures of the web page show."""

from dataclasses import dataclass

from trainer.practice.band_scale import band_label
from trainer.progress.improvement_words import improvement_words
from trainer.reports.book.learner import basis_words, rows_of
from trainer.reports.book.quiz_items import apart_words, share_words
from trainer.reports.book.quiz_scores import columns_of, right_words, score_words
from trainer.reports.book.roster import cell_words
from trainer.reports.book.words import count_words, day_words, full_words, percent
from trainer.season.pages import LearnerPage, QuizPage, RosterPage


@dataclass(frozen=True, slots=True)
class Table:
    """A table: what it is of, the names of its columns, and its rows; each row's first cell is its name."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def learner_table(page: LearnerPage) -> Table:
    """Return a learner's figures, a row an octave band."""
    names = ["T75, 90 % interval", *(name for name, _ in rows_of(page)[3:])]
    columns = [[full_words(change) for change in page.ear.bands], *(cells for _, cells in rows_of(page)[3:])]
    by_band = {key: row for row, key in enumerate(page.confusions.keys)}
    asked, said = page.confusions.asked, page.confusions.counts
    rows = []
    for place, change in enumerate(page.ear.bands):
        row = by_band.get(change.band_hz)
        named = "–" if row is None else f"{said[row][row]} of {asked[row]}"
        cells = [column[place] for column in columns]
        rows.append((band_label(change.band_hz), count_words(change.answers), *cells, named))
    return Table(
        f"{page.name}: {basis_words(page)}",
        ("octave band", "answers", *names, "named right"),
        tuple(rows),
    )


def weeks_tables(page: LearnerPage) -> list[Table]:
    """Return what a learner did by week of the season, and T75 by week since their own first answer."""
    done = Table(
        f"{page.name}: what was done, by week of the season",
        ("week", "answers", "blocks"),
        tuple((str(week.week), str(week.answers), str(week.blocks)) for week in page.weeks),
    )
    trend = Table(
        f"{page.name}: T75 in dB, by week since the first answer",
        ("week", *(band_label(change.band_hz) for change in page.ear.bands)),
        tuple((str(week.week), *(f"{size_db:.1f}" for size_db in week.t75_db)) for week in page.ear.trend),
    )
    return [table for table in (done, trend) if table.rows]


def learner_sentences(page: LearnerPage) -> list[str]:
    """Return what is said of a learner in sentences."""
    return [part for part in (improvement_words(page.ear.improvement), page.standing, page.advice) if part]


def roster_table(roster: RosterPage) -> Table:
    """Return the roster, a row a learner."""
    bands = [change.band_hz for change in roster.rows[0].ear.bands] if roster.rows else []
    return Table(
        "T75 in dB by octave band; – too early to tell",
        (
            "name",
            "role",
            "section",
            *map(band_label, bands),
            "answers",
            "last",
            "aims",
        ),
        tuple(
            (
                row.name,
                row.role,
                row.section,
                *map(cell_words, row.ear.bands),
                count_words(row.answers),
                day_words(row.last_day),
                row.standing,
            )
            for row in roster.rows
        ),
    )


def scores_table(quiz: QuizPage) -> Table:
    """Return a quiz's scores, a row a sheet."""
    fields, bands = columns_of(quiz.scores)
    return Table(
        f"{quiz.title}: scores in percent, 0 as by guessing",
        ("name", "score", "wholly right", *fields, *map(band_label, bands)),
        tuple(
            (
                one.name,
                score_words(one, quiz.reliability),
                right_words(one),
                *(_percent(one.by_field.get(title)) for title in fields),
                *(_percent(one.by_band.get(band_hz)) for band_hz in bands),
            )
            for one in quiz.scores
        ),
    )


def items_table(quiz: QuizPage) -> Table:
    """Return a quiz's items, a row an item."""
    return Table(
        f"{quiz.title}: items",
        ("item", "what was true", "wholly right, %", "credit", "tells apart", "what is odd"),
        tuple(
            (
                str(item.number),
                item.words,
                share_words(item),
                f"{item.mean_score:.2f}",
                apart_words(item),
                item.flag,
            )
            for item in quiz.items
        ),
    )


def _percent(share: float | None) -> str:
    return "–" if share is None else percent(share)
