"""A quiz in the terminal: taking a sealed pack, one's own result, and a class's results in words."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from rich.table import Table

from trainer.playback.player import Version
from trainer.practice.band_scale import band_label
from trainer.practice.exercise import described
from trainer.practice.values import Answer
from trainer.season.pages import QuizPage, QuizScore
from trainer.season.quiz import Quiz, QuizItem
from trainer.season.quiz_marking import Sheet, score_of
from trainer.season.sealed_pack import SealedPack
from trainer.season.sheet import key_line
from trainer.text.answering import Answering
from trainer.text.lines import Leave


@dataclass
class SealedSitting:
    """A sealed pack taken line by line; what is answered is kept after every item.

    ``answers`` are those given so far: item number to answer.
    """

    pack: SealedPack
    answering: Answering
    answers: dict[int, Answer]
    keep: Callable[[Mapping[int, Answer]], object]

    def run(self) -> None:
        """Go through the items that are not answered yet, until the end or until the learner leaves."""
        player = self.answering.player
        player.set_level(self.answering.level_db)
        try:
            for place, item in enumerate(self.pack.items):
                if item.number not in self.answers:
                    self._item(place)
        except Leave:
            pass
        finally:
            player.stop()

    def _item(self, place: int) -> None:
        item, player = self.pack.items[place], self.answering.player
        plain, changed = self.pack.versions(item)
        player.load({Version.PLAIN: plain, Version.CHANGED: changed})
        player.play()
        self.answering.say("")
        self.answering.say(f"Item {item.number} of {len(self.pack.items)} · {item.title}")
        self.answering.say(item.question.text)
        for one in item.question.fields:
            self.answering.say(f"  {one.title}: {one.hint}")
        self.answering.say_where()
        given = self.answering.answer(item.question, flipped=lambda: None)
        self.answers[item.number] = {} if given is None else given
        self.keep(self.answers)


def result_lines(quiz: Quiz, sheet: Sheet) -> Iterator[str]:
    """Yield somebody's own result: item by item what it was and what was said, then the score."""
    yield ""
    for item in quiz.items:
        yield _item_line(item, sheet)
    right = sum(sheet.is_right(item) for item in quiz.items)
    yield ""
    yield (
        f"{sheet.learner}: {right} of {len(quiz.items)} wholly right; score {percent(score_of(quiz, sheet))} "
        "(0 % is guessing, 100 % everything right)"
    )


def _item_line(item: QuizItem, sheet: Sheet) -> str:
    attempt = sheet.attempts.get(item.number)
    if attempt is None or not attempt.given_answer:
        return f"{item.number:3d} – not answered. It was: {key_line(item)}"
    if attempt.right:
        return f"{item.number:3d} ✓ {key_line(item)}"
    said = described(attempt.given_answer, item.question)
    return f"{item.number:3d} ✗ {key_line(item)}; said: {said} – worth {percent(attempt.score)}"


def percent(share: float) -> str:
    """Return a share as whole percent."""
    return f"{100.0 * share:.0f} %"


def scores_table(page: QuizPage) -> Table:
    """Return a class's scores as a table, the best first."""
    bands_hz = sorted({band_hz for score in page.scores for band_hz in score.by_band})
    fields = list(dict.fromkeys(title for score in page.scores for title in score.by_field))
    table = Table("learner", "score", "wholly right", *fields, *map(band_label, bands_hz), box=None)
    for score in sorted(page.scores, key=lambda one: (-one.score, one.name)):
        by_field = [percent(score.by_field[title]) if title in score.by_field else "" for title in fields]
        by_band = [percent(score.by_band[hz]) if hz in score.by_band else "" for hz in bands_hz]
        table.add_row(score.name, percent(score.score), _right_words(score), *by_field, *by_band)
    return table


def _right_words(score: QuizScore) -> str:
    low, high = score.right.interval.low, score.right.interval.high
    return f"{percent(score.right.value)} ({100 * low:.0f}–{100 * high:.0f})"


def items_table(page: QuizPage) -> Table:
    """Return how the items did as a table."""
    table = Table("item", "it was", "named", "90 % interval", "with the rest", "", box=None)
    for item in page.items:
        interval = item.difficulty.interval
        table.add_row(
            str(item.number),
            item.words,
            percent(item.difficulty.value),
            f"{100 * interval.low:.0f}–{100 * interval.high:.0f} %",
            "" if item.discrimination is None else f"{item.discrimination:+.2f}",
            item.flag,
        )
    return table
