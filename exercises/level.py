"""Level: one section or stem stands louder or softer than it should: name it, which way, how far."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.change import Change, Edit, Level
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Scope, Unhearable
from trainer.practice.fields import AmountField, DirectionField, WhichField
from trainer.practice.listening import Listening
from trainer.practice.naming import named_by
from trainer.practice.per_excerpt import kept_per_excerpt
from trainer.practice.values import Answer

AMOUNT = AmountField((1.5, 3.0, 6.0, 12.0))
HARDEST_DB: dict[Scope, float] = {"section": 1.5, "stem": 3.0}
"""The smallest move that is asked about: what is heard to move by it is on offer, at whatever size."""


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Move one of the sections (or stems) on offer, evenly.

    On offer is what can be heard to move both ways by the scope's smallest move: so the offer tells neither how
    far nor which way. A smaller size is brought up to that move.
    """
    scope: Scope = focus.scope or "section"
    offered = on_offer(excerpt, scope, focus.listening)
    size = max(focus.size, HARDEST_DB[scope]) if focus.size else 0.0
    question = Question(
        text=f"Which {scope} is up or down, and how far?",
        fields=(WhichField(offered, title=scope), DirectionField(("up", "down")), amount_field(scope)),
        target="",
        size=size,
        scope=scope,
    )
    which = offered[rng.integers(len(offered))]
    direction = "up" if focus.direction == 1 else "down"
    return Draw(
        question, {"which": which, "direction": direction, "amount": amount_field(scope).nearest(size)}
    )


@kept_per_excerpt
def on_offer(excerpt: Excerpt, scope: Scope, listening: Listening) -> tuple[str, ...]:
    """Return what can be asked about on an excerpt.

    Raises
    ------
    Unhearable
        If it is too little to choose from.
    """
    candidates = excerpt.sections if scope == "section" else excerpt.parts
    offered = audibility.movable(excerpt, candidates, size_db=HARDEST_DB[scope], listening=listening)
    if len(offered) < audibility.FEWEST_CHOICES:
        raise Unhearable(f"too few {scope}s are heard to move by it")
    return offered


def amount_field(scope: Scope) -> AmountField:
    """Return the amounts from the scope's smallest move up."""
    return AMOUNT.offering(tuple(step for step in AMOUNT.options if float(step) >= HARDEST_DB[scope]))


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Move the fader: by the rep's own size where the amount is the one nearest to it, else by the amount."""
    amount_db = amount_field(question.scope).size_meant(answer["amount"], question.size)
    sign = 1.0 if answer["direction"] == "up" else -1.0
    return Change((Edit(str(answer["which"]), Level(gain_db=sign * amount_db)),))


def remedy(answer: Answer, question: Question) -> str:
    """Name the fader that takes it back."""
    back = "down" if answer["direction"] == "up" else "up"
    amount_db = amount_field(question.scope).size_meant(answer["amount"], question.size)
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
