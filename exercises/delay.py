"""Delay: one section or stem comes late, as from further back on the field: name it, and how late."""

from numpy.random import Generator

from trainer.dsp.air import travel_s
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.alignment import Delay
from trainer.practice.change import Change, Edit
from trainer.practice.exercise import Draw, Exercise, Focus, Ladder, Question, Scope, Unhearable
from trainer.practice.fields import AmountField, WhichField
from trainer.practice.listening import Listening
from trainer.practice.naming import named_by
from trainer.practice.per_excerpt import kept_per_excerpt
from trainer.practice.values import Answer
from trainer.units import fahrenheit_to_celsius, yards_to_metres

LADDER = Ladder(quantity="delay", unit="ms", easiest=110.0, hardest=30.0, step=2.0, start=60.0)
YARDS = (10.0, 20.0, 40.0)
TEMPERATURES_F = (50.0, 68.0, 77.0, 95.0)
"""How warm it may be on the field; which it is, an excerpt's seed says."""


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Delay one of the sections (or stems) that mark the time well enough to be heard late, evenly."""
    scope: Scope = focus.scope or "section"
    offered = on_offer(excerpt, scope, focus.listening)
    if len(offered) < audibility.FEWEST_CHOICES:
        raise Unhearable(f"too few {scope}s mark the time")
    temperature_f = TEMPERATURES_F[excerpt.seed % len(TEMPERATURES_F)]
    late = late_field(temperature_f)
    question = Question(
        text=f"It is {temperature_f:g} °F on the field. Which {scope} is late, and from how far back?",
        fields=(WhichField(offered, title=scope), late),
        target="",
        size=focus.size,
        scope=scope,
    )
    which = offered[rng.integers(len(offered))]
    return Draw(question, {"which": which, "late": late.nearest(focus.size)}, bands={})


@kept_per_excerpt
def on_offer(excerpt: Excerpt, scope: Scope, listening: Listening) -> tuple[str, ...]:
    """Return what is heard to be late by the ladder's hardest size, and so by any: the offer tells no size."""
    candidates = excerpt.sections if scope == "section" else excerpt.parts
    hardest = Delay(LADDER.hardest / 1000.0)
    return tuple(target for target in candidates if hardest.is_heard(excerpt, target, listening))


def late_field(temperature_f: float) -> AmountField:
    """Return the field of how late: yards on the field, and the milliseconds sound takes over them."""
    temperature_c = fahrenheit_to_celsius(temperature_f)
    late_ms = tuple(
        round(1000.0 * travel_s(yards_to_metres(yards), temperature_c=temperature_c), 1) for yards in YARDS
    )
    words = tuple(f"{yards:g} yards" for yards in YARDS)
    return AmountField(late_ms, key="late", title="how late", unit="ms", words=words, by_ratio=True)


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Delay the target: by the rep's own size where the distance is the one nearest to it, else by the distance."""
    late_ms = _late_of(question).size_meant(answer["late"], question.size)
    return Change((Edit(str(answer["which"]), Delay(late_ms / 1000.0)),))


def _late_of(question: Question) -> AmountField:
    return next(field for field in question.fields if isinstance(field, AmountField))


def remedy(answer: Answer, question: Question) -> str:
    """Name the delay that takes it back: nothing can come earlier, so all the others wait."""
    late_ms = _late_of(question).size_meant(answer["late"], question.size)
    return (
        f"{title_of(str(answer['which']))}: take the delay off its channels; where it really stands back, "
        f"delay all others by {late_ms:g} ms"
    )


EXERCISE = Exercise(
    key="delay",
    title="delay",
    purpose="Hear who comes late across the field, and by how much, and set the delay that lines them up.",
    scopes=("section", "stem"),
    ladder=LADDER,
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("which"),
    from_answers=150,
)
