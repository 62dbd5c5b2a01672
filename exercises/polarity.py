"""Polarity: one microphone of a pair, or the subs below their crossover, is inverted, or nothing is: name which."""

from numpy.random import Generator, default_rng

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice.alignment import Crossover, PairedMicrophones
from trainer.practice.change import MIX, Change, Edit
from trainer.practice.exercise import (
    THERE_OR_NOT,
    Draw,
    Exercise,
    Focus,
    Grade,
    Question,
    Scope,
    Unhearable,
)
from trainer.practice.fields import ChoiceField
from trainer.practice.listening import Listening
from trainer.practice.naming import named_by
from trainer.practice.per_excerpt import kept_per_excerpt
from trainer.practice.values import Answer

NOTHING = "nothing"
NEAR_M, FAR_M = 0.6, 0.8
"""How far the two microphones of a pair stand from their part (common practice, no source)."""
CROSSOVERS_HZ = (60.0, 100.0, 160.0)
"""Where subs and mains may meet (common practice, no source)."""
PAIRS_ON_OFFER = 4


def draw(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Invert one of what is on offer, or nothing, evenly."""
    scope: Scope = focus.scope or "mix"
    offered = on_offer(excerpt, scope, focus.listening)
    which = (*offered, NOTHING)[rng.integers(len(offered) + 1)]
    question = Question(
        text=_TEXTS[scope],
        fields=(_field(offered, scope),),
        target=MIX if scope == "mix" else "",
        size=focus.size,
        scope=scope,
    )
    return Draw(question, {"which": which}, bands={})


_TEXTS: dict[Scope, str] = {
    "mix": "Are the subs inverted, and at which crossover?",
    "section": "Which section has an inverted microphone, if any?",
    "stem": "Which stem has an inverted microphone, if any?",
}


def _field(offered: tuple[str, ...], scope: Scope) -> ChoiceField:
    words = {key: f"inverted below {key} Hz" if scope == "mix" else title_of(key) for key in offered}
    return ChoiceField.of("which", "what is inverted", {**words, NOTHING: "nothing is"})


@kept_per_excerpt
def on_offer(excerpt: Excerpt, scope: Scope, listening: Listening) -> tuple[str, ...]:
    """Return what can be asked about: crossovers (hertz, as text), or parts drawn by the excerpt's own chance.

    Raises
    ------
    Unhearable
        If too little of it would be heard inverted.
    """
    if scope == "mix":
        heard = [
            f"{hz:g}"
            for hz in CROSSOVERS_HZ
            if Crossover(hz, is_inverted=True).is_heard(excerpt, MIX, listening)
        ]
        if len(heard) < len(CROSSOVERS_HZ):
            raise Unhearable("the mix has too little bass to hear every crossover in")
        return tuple(heard)
    candidates = excerpt.sections if scope == "section" else excerpt.parts
    inverted, found = _pair(is_inverted=True), list[str]()
    for target in default_rng(excerpt.seed).permutation(candidates):
        if len(found) < PAIRS_ON_OFFER and inverted.is_heard(excerpt, str(target), listening):
            found.append(str(target))
    if len(found) < PAIRS_ON_OFFER - 1:
        raise Unhearable(f"too few {scope}s are heard inverted")
    return tuple(target for target in candidates if target in found)


def _pair(*, is_inverted: bool) -> PairedMicrophones:
    return PairedMicrophones(NEAR_M, FAR_M, is_inverted=is_inverted)


def setting(question: Question, excerpt: Excerpt) -> Change:
    """Let everything on offer come through its pair, all of them in phase; a crossover in phase changes nothing."""
    return change({"which": NOTHING}, question, excerpt)


def change(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001 - the interface's shape
    """Invert the far microphone of one pair, or the low path of the crossover; all other pairs are in phase."""
    (which,) = question.fields
    offered = (
        [str(option) for option in which.options if option != NOTHING]
        if isinstance(which, ChoiceField)
        else []
    )
    if question.scope == "mix":
        said = str(answer["which"])
        return Change(() if said == NOTHING else (Edit(MIX, Crossover(float(said), is_inverted=True)),))
    return Change(tuple(Edit(key, _pair(is_inverted=key == answer["which"])) for key in offered))


def remedy(answer: Answer, question: Question) -> str:
    """Name the polarity switch that takes it back."""
    if answer["which"] == NOTHING:
        return "every polarity switch is as it should be: leave them"
    if question.scope == "mix":
        return f"subs: polarity switch, or swap the plus and minus of their feed (crossover at {answer['which']} Hz)"
    return f"{title_of(str(answer['which']))}: polarity switch on one of its two microphones"


def grade(given: Answer, right: Answer, question: Question) -> Grade:  # noqa: ARG001 - the interface's shape
    """Give all or nothing: there is no near miss of what is inverted."""
    is_right = given["which"] == right["which"]
    return Grade({"which": float(is_right)}, float(is_right), is_right)


EXERCISE = Exercise(
    key="polarity",
    title="polarity",
    purpose="Hear that something fights itself instead of adding up, and find the switch that turns it around.",
    scopes=("mix", "section", "stem"),
    ladder=THERE_OR_NOT,
    draw=draw,
    change=change,
    remedy=remedy,
    evidence=named_by("which"),
    grade=grade,
    setting=setting,
    from_answers=150,
)
