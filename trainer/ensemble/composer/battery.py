"""The battery's book: snares, tenors and bass drums lead, answer, share and punctuate."""

from collections.abc import Callable

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import Pulse, moved, within
from trainer.ensemble.composer.grammars import STICK_WAYS, STICKS
from trainer.ensemble.composer.plan import Phrase, Plan
from trainer.ensemble.composer.rhythm import phrase_rhythm, with_hits

LINES = ("snare-line", "tenor-line", "bass-drum-line")

LAYOUTS: Table[tuple[str, str, str]] = (
    # snares, tenors, bass drums
    (3, ("lead", "own", "accents")),
    (2, ("lead", "lead", "accents")),
    (2, ("accents", "lead", "own")),
    (2, ("own", "accents", "lead")),
    (2, ("call", "answer", "accents")),
    (1.5, ("call", "call", "answer")),
    (1.5, ("answer", "accents", "call")),
    (2, ("lead", "lead", "lead")),
    (2, ("own", "lead", "accents")),
)
"""Who does what through a phrase, beside a rhythm that leads it."""

Book = dict[str, list[Pulse]]
"""The rhythm of each line through the loop."""


ROLES: dict[str, Callable[[Pulse, int], bool]] = {
    "lead": lambda _pulse, _half_bar: True,
    "accents": lambda pulse, half_bar: pulse.mark == "!" or pulse.tick % half_bar == 0,
    "call": lambda pulse, half_bar: pulse.mark == "!" or pulse.tick // half_bar % 2 == 0,
    "answer": lambda pulse, half_bar: pulse.mark == "!" or pulse.tick // half_bar % 2 == 1,
}
"""Which strokes of the leading rhythm a line plays; a line on its own has another rhythm."""


def draw_book(dice: Dice, plan: Plan) -> Book:
    """Return the rhythms of the three lines; phrases with one label share theirs, but for the last fill."""
    written: dict[str, Book] = {}
    book: Book = {line: [] for line in LINES}
    for phrase in plan.phrases:
        if phrase.label not in written:
            written[phrase.label] = _phrase_book(dice, plan, phrase)
        for line in LINES:
            book[line] += moved(written[phrase.label][line], phrase.start)
    _add_fill(dice, plan, book)
    return {line: with_hits(pulses, plan) for line, pulses in book.items()}


def _phrase_book(dice: Dice, plan: Plan, phrase: Phrase) -> Book:
    lead = phrase_rhythm(dice, dice.weighted(STICK_WAYS), plan, ticks=phrase.ticks)
    layout = dice.weighted(LAYOUTS)
    book: Book = {}
    for line, role in zip(LINES, layout, strict=True):
        if role == "own":
            book[line] = phrase_rhythm(dice, dice.weighted(STICK_WAYS), plan, ticks=phrase.ticks)
        else:
            book[line] = [pulse for pulse in lead if ROLES[role](pulse, plan.bar_ticks // 2)]
    return book


def _add_fill(dice: Dice, plan: Plan, book: Book) -> None:
    """Let the three lines play the last beats together, so that the loop leads back."""
    start = plan.ticks - plan.bar_ticks
    fill = within(
        moved(phrase_rhythm(dice, STICKS, plan, ticks=plan.bar_ticks), start), plan.ticks - 48, plan.ticks
    )
    for line in LINES:
        before = within(book[line], 0, plan.ticks - 48)
        book[line] = before + (fill if dice.chance(0.7) else within(book[line], plan.ticks - 48, plan.ticks))
