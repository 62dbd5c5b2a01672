"""The contract bites: exercises broken on purpose are refused, each by the check that is there for it; others pass."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.random import Generator

from tests.exercises import contract
from tests.exercises.contract import CHECKS, Check
from tests.exercises.drawn import DRAWS, ContractBroken
from tests.exercises.examples import (
    DELAY,
    GOOD,
    LATENESS,
    POLARITY,
    THIRD_OCTAVE,
    THIRDS,
    Late,
    change_delay,
    heard_always,
)
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.change import Bell, Change, Edit, Stems
from trainer.practice.evidence import Evidence
from trainer.practice.exercise import AnswerGiven, Draw, Exercise, Focus, Grade, Question, Unhearable
from trainer.practice.fields import DirectionField, WhichField
from trainer.practice.listening import Listening
from trainer.practice.naming import named_by
from trainer.practice.values import Answer
from trainer.sound import Sound


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
@pytest.mark.parametrize("exercise", GOOD, ids=lambda exercise: exercise.key)
def test_a_sound_exercise_of_another_kind_passes(exercise: Exercise, check: Check) -> None:
    """Thirty bands, a size in ms, a fault that is there or not, a list marked its own way on a mix that was set up."""
    seen = check(exercise)
    assert set(seen) == set(exercise.scopes)
    assert min(seen.values()) >= 1


def redrawn(draw: Callable[[Draw, Excerpt, Focus, Generator], Draw], of: Exercise) -> Exercise:
    """Return an exercise whose questions are drawn as another's and then spoilt."""

    def spoilt(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
        return draw(of.draw(excerpt, focus, rng), excerpt, focus, rng)

    return replace(of, draw=spoilt)


def resaid(say: Callable[[Evidence, AnswerGiven], Evidence], of: Exercise) -> Exercise:
    """Return an exercise whose evidence is another's, spoilt."""
    return replace(of, evidence=lambda answer: tuple(say(one, answer) for one in of.evidence(answer)))


def with_field(draw: Draw, place: int, field: object, **answer: object) -> Draw:
    fields = (*draw.question.fields[:place], field, *draw.question.fields[place + 1 :])
    question = replace(draw.question, fields=fields)  # type: ignore[arg-type]
    return Draw(question, {**draw.answer, **answer}, draw.bands)  # type: ignore[dict-item]


# Spoilt draws.


def offer_by_size(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Put more sections on offer the larger the size is."""
    offered = excerpt.sections[: 2 if focus.size < 30.0 else 3]
    return with_field(draw, 0, WhichField(offered), which=offered[rng.integers(len(offered))])


def order_by_truth(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    """Put what is right first."""
    right = str(draw.answer["which"])
    return with_field(draw, 0, WhichField((right, *(key for key in excerpt.sections if key != right))))


def text_by_size(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return replace(draw, question=replace(draw.question, text=f"Who is {focus.size:g} ms late?"))


def heard_by_size(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:
    """Ask small sizes on some excerpts only: the excerpt tells the size."""
    if focus.size < 30.0 and excerpt.seed % 3 == 1 and rng.random() < 0.8:
        raise Unhearable("not here")
    return draw


def heard_by_direction(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    if focus.direction == 1 and excerpt.seed == 2:
        raise Unhearable("not this way")
    return draw


def never_the_last(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return with_field(
        draw, 0, draw.question.fields[0], which=excerpt.sections[rng.integers(len(excerpt.sections) - 1)]
    )


def mostly_the_first(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return (
        draw
        if rng.random() < 0.6
        else with_field(draw, 0, draw.question.fields[0], which=excerpt.sections[0])
    )


def one_answer(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return with_field(draw, 0, draw.question.fields[0], which=excerpt.sections[0], late=LATENESS.options[0])


def two_to_guess(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    question = replace(draw.question, fields=(DirectionField(),))
    return Draw(question, {"direction": draw.answer["direction"]}, draw.bands)


def no_question(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return replace(draw, question=replace(draw.question, text="Name the section."))


def another_scope(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return replace(draw, question=replace(draw.question, scope="stem"))


def same_words(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    field = draw.question.fields[0]
    return with_field(draw, 0, replace(field, words=tuple("same" for _ in field.options)))  # type: ignore[type-var,attr-defined]


def bands_unplayed(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return with_field(draw, 0, THIRDS)


def counted_unplayed(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
    return replace(draw, bands={31.5: 1.0})


# Spoilt marks, words and sounds.


def lenient(given: Answer, right: Answer, question: Question) -> Grade:  # noqa: ARG001
    return Grade({one.key: 1.0 for one in question.fields}, 1.0, right=True)


def generous(given: Answer, right: Answer, question: Question) -> Grade:
    marks = {one.key: 1.5 * one.mark(given[one.key], right[one.key]) for one in question.fields}
    return Grade(marks, 1.0 if given == right else 0.5, right=given == right)


def plain_by_size(question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    """Set the plain version by the size: it tells it."""
    return Change((Edit("mix", Bell(1000.0, question.size / 10.0)),))


def change_that_shrinks(answer: Answer, question: Question, excerpt: Excerpt) -> Change:
    return THIRD_OCTAVE.change(answer, replace(question, size=16.0 - question.size), excerpt)


def change_whatever_the_size(answer: Answer, question: Question, excerpt: Excerpt) -> Change:
    return change_delay({**answer, "late": 20.0}, replace(question, size=10.0), excerpt)


def change_without_a_size(answer: Answer, question: Question, excerpt: Excerpt) -> Change:
    return change_delay(answer, replace(question, size=question.size + 5.0), excerpt)


def change_whoever(answer: Answer, question: Question, excerpt: Excerpt) -> Change:
    return change_delay({**answer, "which": excerpt.sections[0]}, question, excerpt)


def always_inverted(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    return Change((Edit(excerpt.sections[0], Late(1.0)),))


def sometimes_other(answer: Answer, question: Question, excerpt: Excerpt) -> Change:
    """Sound another way every time it is asked."""
    sometimes_other.times += 1  # type: ignore[attr-defined]
    return change_delay(answer, replace(question, size=20.0 + sometimes_other.times), excerpt)  # type: ignore[attr-defined]


sometimes_other.times = 0  # type: ignore[attr-defined]


def change_to_nothing(answer: Answer, question: Question, excerpt: Excerpt) -> Change:  # noqa: ARG001
    return Change((Edit("brass", Broken()),))


@dataclass(frozen=True, slots=True)
class Broken:
    """A process that gives back no numbers."""

    def apply(self, stems: Stems) -> dict[str, Sound]:
        return {
            key: Sound(np.full_like(sound.samples, np.nan), sound.rate_hz) for key, sound in stems.items()
        }

    def is_heard(self, excerpt: Excerpt, target: str, listening: Listening) -> bool:
        """Say that it is heard."""
        return heard_always(excerpt, target, listening)


def at_zero_too(answer: AnswerGiven) -> tuple[Evidence, ...]:
    question = replace(answer.question, size=max(answer.question.size, 3.0))
    return named_by("which")(replace(answer, question=question))


BAD: tuple[tuple[str, Exercise, Check, str], ...] = (
    # The evidence.
    ("a field not looked at: five octaves off is named", replace(THIRD_OCTAVE, evidence=named_by("direction")),
     contract.a_wrong_answer_is_never_named, "counts as named"),
    ("a field of another name looked at", replace(THIRD_OCTAVE, evidence=named_by("band", "direction")),
     contract.a_wrong_answer_is_never_named, "counts as named"),
    ("nothing is ever named", resaid(lambda one, _: replace(one, named=False), THIRD_OCTAVE),
     contract.a_wrong_answer_is_never_named, "is not named"),
    ("giving up names it", resaid(lambda one, answer: replace(one, named=answer.given in (None, answer.right)), DELAY),
     contract.a_wrong_answer_is_never_named, "None names"),
    ("all it asks hangs on the size", redrawn(
        lambda draw, *_: Draw(replace(draw.question, fields=(LATENESS,)), {"late": draw.answer["late"]}, {}), DELAY),
     contract.a_wrong_answer_is_never_named, "nothing to name"),
    ("another kind", resaid(lambda one, _: replace(one, kind="octave-tone/mix"), THIRD_OCTAVE),
     contract.its_evidence_is_well_formed, "its kind is"),
    ("no scope in its kind", resaid(lambda one, answer: replace(one, kind=answer.kind.split("/")[0]), THIRD_OCTAVE),
     contract.its_evidence_is_well_formed, "its kind is"),
    ("another size", resaid(lambda one, _: replace(one, size=(one.size or 0.0) + 1.0), THIRD_OCTAVE),
     contract.its_evidence_is_well_formed, "its size is"),
    ("another unit", resaid(lambda one, _: replace(one, unit="dB"), DELAY),
     contract.its_evidence_is_well_formed, "its size is in 'dB'"),
    ("a size of what is there or not", resaid(lambda one, _: replace(one, size=1.0), POLARITY),
     contract.its_evidence_is_well_formed, "has no size"),
    ("guessing made hard", resaid(lambda one, _: replace(one, among=(*one.among, 2.0)), DELAY),
     contract.its_evidence_is_well_formed, "by guessing"),
    ("another way", resaid(lambda one, _: replace(one, direction=-one.direction), THIRD_OCTAVE),
     contract.its_evidence_is_well_formed, "its direction is"),
    ("its size hangs on the answer",
     resaid(lambda one, answer: replace(one, size=3.0) if answer.given != answer.right else one, THIRD_OCTAVE),
     contract.its_evidence_is_well_formed, "is not what the rep is about"),
    ("less evidence of a wrong answer", replace(THIRD_OCTAVE, evidence=lambda answer: (
        named_by("third", "direction")(answer) if answer.grade.right else ())),
     contract.its_evidence_is_well_formed, "pieces of evidence"),
    ("no evidence", replace(THIRD_OCTAVE, evidence=lambda answer: ()),  # noqa: ARG005
     contract.its_evidence_is_well_formed, "says nothing"),
    ("evidence of nothing", replace(DELAY, evidence=at_zero_too),
     contract.without_a_change_nothing_is_said, "says something of an ear"),
    ("a change at size 0", replace(DELAY, change=change_without_a_size),
     contract.without_a_change_nothing_is_said, "at size 0 something is changed"),
    ("no answer without a change", replace(POLARITY, change=always_inverted),
     contract.without_a_change_nothing_is_said, "none of its answers leaves"),
    # The offer.
    ("more on offer at a larger size", redrawn(offer_by_size, DELAY),
     contract.the_offer_tells_nothing, "what is on offer"),
    ("what is right comes first", redrawn(order_by_truth, DELAY),
     contract.the_offer_tells_nothing, "what is on offer"),
    ("the size in the question", redrawn(text_by_size, DELAY),
     contract.the_offer_tells_nothing, "the question tells"),
    ("the excerpt tells the size", redrawn(heard_by_size, DELAY),
     contract.the_offer_tells_nothing, "whether it can be asked"),
    ("the excerpt tells the way", redrawn(heard_by_direction, THIRD_OCTAVE),
     contract.the_offer_tells_nothing, "whether it can be asked"),
    ("the plain version tells the size", replace(DELAY, setting=plain_by_size),
     contract.the_offer_tells_nothing, "what is on offer"),
    ("on offer and never right", redrawn(never_the_last, DELAY),
     contract.every_option_is_right_sometimes, "never right"),
    ("always the same answer", redrawn(one_answer, DELAY),
     contract.every_option_is_right_sometimes, "always the same"),
    ("mostly the first", redrawn(mostly_the_first, DELAY), contract.what_is_right_is_drawn_evenly, "is not even"),
    ("one of two", redrawn(two_to_guess, THIRD_OCTAVE), contract.a_guess_is_seldom_right, "a guess is right"),
    ("bands that cannot be played", redrawn(bands_unplayed, THIRD_OCTAVE),
     contract.the_same_seed_gives_the_same_rep, "cannot be played are on offer"),
    ("counted for bands that cannot be played", redrawn(counted_unplayed, THIRD_OCTAVE),
     contract.the_same_seed_gives_the_same_rep, "cannot all be played"),
    # The words.
    ("no such control", replace(DELAY, remedy=lambda answer, question: "turn the magic knob back"),  # noqa: ARG005
     contract.the_remedy_names_a_control, "names no control"),
    ("British English", replace(DELAY, remedy=lambda answer, question: "equaliser and delay"),  # noqa: ARG005
     contract.the_remedy_names_a_control, "not American English"),
    ("nothing ever to undo", replace(DELAY, change=lambda answer, question, excerpt: Change(())),  # noqa: ARG005
     contract.the_remedy_names_a_control, "had something to undo"),
    ("no question", redrawn(no_question, DELAY), contract.its_question_can_be_kept_read_and_told, "is no question"),
    ("another scope", redrawn(another_scope, DELAY), contract.its_question_can_be_kept_read_and_told, "it says stem"),
    ("options that read alike", redrawn(same_words, POLARITY),
     contract.its_question_can_be_kept_read_and_told, "its options are"),
    ("no key", replace(DELAY, key="Delay!"), contract.is_well_made, "is no key"),
    ("no sentence", replace(DELAY, purpose="Late"), contract.is_well_made, "no sentence"),
    ("a start off the ladder", replace(DELAY, ladder=replace(DELAY.ladder, start=90.0)),
     contract.is_well_made, "outside"),
    ("a start between steps", replace(DELAY, ladder=replace(DELAY.ladder, start=31.0)),
     contract.is_well_made, "no step"),
    ("sizes without a unit", replace(DELAY, ladder=replace(DELAY.ladder, unit="")),
     contract.is_well_made, "have a unit"),
    # The marks.
    ("everything is right", replace(DELAY, grade=lenient), contract.an_answer_is_worth_what_it_should, "is worth"),
    ("marks above 1", replace(DELAY, grade=generous), contract.an_answer_is_worth_what_it_should, "marks of"),
    # The sound.
    ("smaller at a larger size", replace(THIRD_OCTAVE, change=change_that_shrinks),
     contract.a_larger_size_changes_more, "it adds"),
    ("the same at every size", replace(DELAY, change=change_whatever_the_size),
     contract.a_larger_size_changes_more, "it does the same"),
    ("wrong sounds as right", replace(DELAY, change=change_whoever),
     contract.every_wrong_answer_sounds_otherwise, "sounds as"),
    ("another sound every time", replace(DELAY, change=sometimes_other),
     contract.the_same_seed_gives_the_same_rep, "another sound"),
    ("no sound", replace(DELAY, change=change_to_nothing), contract.the_sound_is_fair, "cannot be rendered"),
)  # fmt: skip


@pytest.mark.parametrize(
    ("exercise", "check", "said"), [case[1:] for case in BAD], ids=[case[0] for case in BAD]
)
def test_a_broken_exercise_is_refused(exercise: Exercise, check: Check, said: str) -> None:
    with pytest.raises(ContractBroken, match=said):
        check(exercise)


def test_every_check_refuses_something() -> None:
    assert {check for _, _, check, _ in BAD} == set(CHECKS)


def test_an_exercise_that_can_be_asked_nowhere_is_refused_by_every_check_that_draws_or_deals() -> None:
    def nowhere(excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
        raise Unhearable("nowhere")

    exercise, refused = replace(DELAY, draw=nowhere), 0
    for check in CHECKS:
        if check is not contract.is_well_made:
            with pytest.raises(ContractBroken):
                check(exercise)
            refused += 1
    assert refused == len(CHECKS) - 1


def test_an_exercise_that_can_seldom_be_asked_is_refused() -> None:
    def seldom(draw: Draw, excerpt: Excerpt, focus: Focus, rng: Generator) -> Draw:  # noqa: ARG001
        if rng.random() < 0.9:
            raise Unhearable("seldom")
        return draw

    with pytest.raises(ContractBroken, match=f"{DRAWS} are wanted"):
        contract.a_guess_is_seldom_right(redrawn(seldom, DELAY))
