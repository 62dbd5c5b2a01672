"""Level: one section or stem stands louder or softer than it should: name it, which way, how far."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.change import Change, Edit, Level
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Unhearable
from trainer.practice.fields import AmountField, DirectionField, WhichField
from trainer.practice.naming import named_by
from trainer.practice.values import Answer

AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0))


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Move one of the sections (or stems) that can be heard to move so far this way, evenly.

    On offer are those that can be heard to move either way, so that the offer does not tell the direction.
    """
    candidates = excerpt.sections if focus.scope == "section" else tuple(excerpt.stems)
    up = audibility.movable(excerpt, candidates, gain_db=focus.size, usable_hz=focus.listening.usable_hz)
    down = audibility.movable(excerpt, candidates, gain_db=-focus.size, usable_hz=focus.listening.usable_hz)
    offered = tuple(key for key in candidates if key in up or key in down)
    this_way = up if focus.direction == 1 else down
    if len(offered) < audibility.FEWEST_CHOICES or not this_way:
        raise Unhearable(f"too few {focus.scope}s are heard to move by it")
    question = Question(
        text=f"Which {focus.scope} is up or down, and how far?",
        fields=(WhichField(offered, title=str(focus.scope)), DirectionField(("up", "down")), AMOUNT),
        target="",
        size=focus.size,
        scope=focus.scope or "section",
    )
    which = this_way[rng.integers(len(this_way))]
    direction = "up" if focus.direction == 1 else "down"
    return Draw(question, {"which": which, "direction": direction, "amount": AMOUNT.nearest(focus.size)})


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Move the fader: by the rep's own size where the amount is the one nearest to it, else by the amount."""
    amount_db = AMOUNT.size_meant(answer["amount"], question.size)
    sign = 1.0 if answer["direction"] == "up" else -1.0
    return Change((Edit(str(answer["which"]), Level(gain_db=sign * amount_db)),))


def remedy(answer: Answer, question: Question) -> str:
    """Name the fader that takes it back."""
    back = "down" if answer["direction"] == "up" else "up"
    amount_db = AMOUNT.size_meant(answer["amount"], question.size)
    return f"{title_of(str(answer['which']))}: fader (or group fader) {back} by {amount_db:g} dB"


EXERCISE = Exercise(
    key="level",
    title="level",
    purpose="Hear who stands too loud or too soft, and by how much, and move the right fader the right way.",
    scopes=("section", "stem"),
    ladder=Ladder(quantity="level change", unit="dB", easiest=12.0, hardest=1.5, step=0.5, start=6.0),
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("which", "direction"),
    level_is_question=True,
)
