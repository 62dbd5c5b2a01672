"""The contract of every exercise, as checks of one: each returns how many reps it looked at, or refuses the exercise.

Questions are drawn without rendering where sound is not what is checked (see `tests.exercises.drawn`).
"""

import json
import math
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np
from scipy.stats import chisquare

from tests.exercises.drawn import (
    DRAWS,
    SHOW,
    Draws,
    askable_sizes,
    at_size,
    dealt,
    draws_of,
    need,
    offers,
    size_groups,
    worst_value,
    wrong_values,
)
from trainer.dsp.loudness import integrated_loudness_lufs
from trainer.ensemble.excerpt import Excerpt
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.change import changed_mix
from trainer.practice.deal import Rep, deal
from trainer.practice.evidence import BAND, DIRECTION, LANE_UNIT, WAYS, Evidence, is_named
from trainer.practice.exercise import SCOPES, Draw, Exercise, Focus, described, guess_rate
from trainer.practice.fields import BandField, DirectionField, Field, OptionField
from trainer.practice.grading import evidence_of, grade
from trainer.practice.list_field import ListField
from trainer.practice.listening import Listening
from trainer.practice.question_text import asked_text, plain_question, question_from
from trainer.practice.rep_code import RepSpec, decode
from trainer.practice.values import Answer, plain_answer
from trainer.refusal import Refused
from trainer.sound import Sound

Check = Callable[[Exercise], Counter[str]]
"""Looks at an exercise on each of its scopes and returns how many reps it saw there."""

CONTROLS = (
    "trim", "high-pass", "low-pass", "equalizer", "shelf", "compressor", "gate", "limiter", "delay", "polarity", "pan",
    "send", "fader", "mute",
)  # fmt: skip
"""The controls of a channel strip that undo a change (common practice, no source)."""
BRITISH = ("equaliser", "colour", "centre", "grey", "programme", "favour", "metre")
CEILING = 10.0 ** (-1.0 / 20.0)
"""EBU R 128: -1 dBTP, as a ratio."""
RENDERED = 3
"""How many reps are rendered on each scope."""
LAPTOP = Listening(70, OCTAVE_SCALE.names_hz[3:9])
"""What plays no bass, and nothing above 8 kHz: what needs that is refused, as a whole question."""
LEAST_P = 1e-4
"""How unlikely under even odds what is drawn may be."""
SURE = 9.0
"""How often an option must be right on average, for never to be no chance (exp -9)."""
MOST_BY_GUESSING = 0.25
MOST_BY_GUESSING_THERE_OR_NOT = 0.5


def each_scope(check: Callable[[Draws], int]) -> Check:
    """Return a check of drawn questions, made on each scope."""

    def on_each(exercise: Exercise) -> Counter[str]:
        return Counter({scope: check(draws_of(exercise, scope)) for scope in exercise.scopes})

    on_each.__name__, on_each.__doc__ = check.__name__, check.__doc__
    return on_each


# What it is.


def is_well_made(exercise: Exercise) -> Counter[str]:
    """See that its key, words, scopes and ladder are such as can be used."""
    ladder = exercise.ladder
    need(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", exercise.key), f"the key {exercise.key!r} is no key")
    need(exercise.title and exercise.purpose.endswith("."), "it has no title, or its purpose is no sentence")
    need(exercise.scopes and set(exercise.scopes) <= set(SCOPES), f"it is asked on {exercise.scopes}")
    need(0.0 < ladder.hardest <= ladder.start <= ladder.easiest, "the start of its ladder lies outside it")
    need(ladder.step > 0.0, "its ladder has no step")
    need(ladder.has_sizes == bool(ladder.unit), "sizes have a unit, and what has none has no sizes")
    for size in (ladder.hardest, ladder.start, ladder.easiest):
        steps = (size - ladder.hardest) / ladder.step
        need(math.isclose(steps, round(steps), abs_tol=1e-6), f"{size:g} is on no step of its ladder")
    return Counter(dict.fromkeys(exercise.scopes, 1))


# What is asked.


@each_scope
def the_offer_tells_nothing(draws: Draws) -> int:
    """See that what is on offer, in what order and words, and whether anything is, hangs on excerpt and target alone.

    Where no field asks about the size, it may hang on that too.
    """
    asked: dict[object, set[object]] = defaultdict(set)
    texts: dict[object, set[str]] = defaultdict(set)
    heard: dict[object, set[bool]] = defaultdict(set)
    need(len(draws.made) >= DRAWS, "too few were drawn")
    for one in draws.tried:
        where = (*one.key, None if draws.by_size else one.focus.size)
        heard[where].add(one.draw is not None)
        if one.draw:
            question = one.draw.question
            setting = draws.exercise.setting(question, one.excerpt)
            asked[(*where, question.target)].add((asked_text(question), repr(setting.described())))
            texts[(*one.key, question.target)].add(question.text)
    for where, said in texts.items():
        need(len(said) == 1, f"the question tells something: {sorted(said)} {where}")
    for where, offered in asked.items():
        need(len(offered) == 1, f"what is on offer tells something: {len(offered)} offers on {where}")
    for where, was in heard.items():
        need(len(was) == 1, f"whether it can be asked tells something on {where}")
    need(
        max(Counter(where[:2] for where in asked).values()) < DRAWS, "every question has a target of its own"
    )
    return len(draws.made)


@each_scope
def every_option_is_right_sometimes(draws: Draws) -> int:
    """See that whatever is on offer often enough for never to be no chance is right at some time."""
    expected: dict[str, Counter[object]] = defaultdict(Counter)
    right: dict[str, set[object]] = defaultdict(set)
    answers = {json.dumps(plain_answer(draw.answer), sort_keys=True) for draw in draws.made}
    need(len(answers) > 1, "its answer is always the same")
    for draw in draws.made:
        for offer in offers(draw):
            right[offer.key].update(offer.right)
            for option in offer.options:
                expected[offer.key][option] += len(offer.right) / len(offer.options)
    for key, options in expected.items():
        sure = {option for option, times in options.items() if times >= SURE}
        need(len(sure) > 1, f"{key}: nothing was on offer often enough")
        never = sure - right[key]
        need(not never, f"{key}: on offer and never right: {sorted(never, key=repr)}")
    return len(draws.made)


@each_scope
def what_is_right_is_drawn_evenly(draws: Draws) -> int:
    """Test each set on offer that was seen often enough against even odds: chi-squared (Pearson 1900)."""
    counts: dict[object, Counter[object]] = defaultdict(Counter)
    for draw in draws.made:
        for offer in offers(draw):
            counts[(offer.key, offer.options)].update(offer.right)
    tested = 0
    for (key, options), right in counts.items():  # type: ignore[misc]
        if sum(right.values()) >= 5 * len(options):
            p_value = chisquare([right[option] for option in options]).pvalue
            need(p_value > LEAST_P, f"{key}: {dict(right)} of {options} is not even (p = {p_value:.2g})")
            tested += 1
    need(tested or not counts, "nothing was drawn often enough to tell")
    return len(draws.made)


@each_scope
def a_guess_is_seldom_right(draws: Draws) -> int:
    """See that guessing is wholly right one time in four at most, one in two of what is there or not."""
    most = MOST_BY_GUESSING if draws.exercise.ladder.has_sizes else MOST_BY_GUESSING_THERE_OR_NOT
    for draw in draws.made:
        rate = guess_rate(draw.question)
        need(0.0 < rate <= most, f"a guess is right {rate:.2f} of the time, {most} at most is allowed")
    return len(draws.made)


@each_scope
def its_question_can_be_kept_read_and_told(draws: Draws) -> int:
    """See that the question survives JSON, and that every option has words of its own and is read back by them."""
    for draw in draws.made:
        question = draw.question
        need(question.text.endswith("?"), f"{question.text!r} is no question")
        need(question.scope == draws.scope, f"asked on a {draws.scope}, it says {question.scope}")
        keys = {one.key for one in question.fields}
        need(len(keys) == len(question.fields) > 0, "its fields share a key, or are none")
        kept = json.loads(json.dumps(plain_question(question), sort_keys=True))
        need(question_from(kept) == question, "the question does not come back from JSON")
        words = described(draw.answer, question)
        for one in question.fields:
            need(
                one.checked(draw.answer[one.key]) == draw.answer[one.key],
                f"{one.key}: the right answer is not on offer",
            )
            need(one.label(draw.answer[one.key]) in words, f"{one.key}: what is right is not told")
            _options_are_read(one)
    return len(draws.made)


def _options_are_read(field: Field) -> None:
    for one in field.of if isinstance(field, ListField) else (field,):
        if isinstance(one, OptionField):
            labels = [one.label(option) for option in one.options]
            need(len(set(labels)) == len(labels) > 1, f"{one.key}: its options are {labels}")
            for option, label in zip(one.options, labels, strict=True):
                need(one.read(label) == option, f"{one.key}: {label!r} is read as {one.read(label)!r}")


# What is said of it.


@each_scope
def the_remedy_names_a_control(draws: Draws) -> int:
    """See that a control of a channel strip is named, in American spelling, wherever there is something to undo."""
    named = 0
    for drawn in draws.tried:
        if drawn.draw is None or not _is_changed(draws.exercise, drawn.draw, drawn.excerpt):
            continue
        remedy = draws.exercise.remedy(drawn.draw.answer, drawn.draw.question)
        controls = [control for control in CONTROLS if re.search(rf"\b{control}\b", remedy, re.IGNORECASE)]
        need(controls, f"{remedy!r} names no control of a channel strip ({', '.join(CONTROLS)})")
        british = [word for word in BRITISH if word in remedy.casefold()]
        need(not british, f"{remedy!r} is not American English: {british}")
        named += 1
    need(named >= DRAWS / 2, f"only {named} of its questions had something to undo")
    return named


def _is_changed(exercise: Exercise, draw: Draw, excerpt: Excerpt) -> bool:
    """Return whether an answer does something that the plain version has not."""
    done = exercise.change(draw.answer, draw.question, excerpt)
    return done.edits != exercise.setting(draw.question, excerpt).edits


# What an answer is worth, and what it says.


@each_scope
def an_answer_is_worth_what_it_should(draws: Draws) -> int:
    """See that a right answer is worth 1, one wrong in any field less, giving up nothing; never outside 0 to 1."""
    exercise = draws.exercise
    for draw in draws.judged:
        question, right = draw.question, draw.answer
        whole = grade(right, right, question, exercise)
        need((whole.score, whole.right) == (1.0, True), f"the right answer is worth {whole}")
        need(set(whole.marks) == {one.key for one in question.fields}, "not every field has a mark")
        for given in _wrong_answers(draw):
            worth = grade(given, right, question, exercise)
            need(0.0 <= worth.score < 1.0 and not worth.right, f"{given} beside {right} is worth {worth}")
            need(all(0.0 <= mark <= 1.0 for mark in worth.marks.values()), f"marks of {worth.marks}")
        need(grade(None, right, question, exercise).score == 0.0, "giving up is worth something")
    return len(draws.judged)


def _wrong_answers(draw: Draw, *, keys: frozenset[str] | None = None) -> Iterator[Answer]:
    """Yield answers that are wrong in one field (of some), in every way there is."""
    for one in draw.question.fields:
        if keys is None or one.key in keys:
            for value in wrong_values(one, draw.answer[one.key]):
                yield {**draw.answer, one.key: value}


def _said(exercise: Exercise, draw: Draw, given: Answer | None) -> tuple[Evidence, ...]:
    bands = {1000.0: 1.0} if draw.bands is None else draw.bands
    worth = grade(given, draw.answer, draw.question, exercise)
    return evidence_of(exercise, given, draw.answer, draw.question, bands=bands, grade=worth)


@each_scope
def a_wrong_answer_is_never_named(draws: Draws) -> int:
    """See that only what the size alone decides (by how much) may be wrong in an answer that names its subject."""
    exercise = draws.exercise
    for draw in draws.judged:
        subject = frozenset(one.key for one in draw.question.fields) - draws.by_size
        need(subject, "all of its fields hang on the size: there is nothing to name")
        need(is_named(_said(exercise, draw, draw.answer)), f"the right answer {draw.answer} is not named")
        for given in _wrong_answers(draw, keys=subject):
            need(
                not is_named(_said(exercise, draw, given)),
                f"{given} counts as named where {draw.answer} is right",
            )
        worst = {one.key: worst_value(one, draw.answer[one.key]) for one in draw.question.fields}
        for given in (worst, None):
            named = [one for one in _said(exercise, draw, given) if one.named]
            need(not named, f"{given} names {named} where {draw.answer} is right")
    return len(draws.judged)


@each_scope
def its_evidence_is_well_formed(draws: Draws) -> int:
    """See that kind, size, unit, bands, way and what there was to guess among are the question's, whatever is said."""
    exercise, sizes = draws.exercise, frozenset(askable_sizes(draws.exercise, draws.scope))
    for draw in draws.judged:
        right = _said(exercise, draw, draw.answer)
        need(right, "the answer to a rep with a change says nothing")
        for one in right:
            _is_of_the_question(one, draw, exercise, sizes)
        if all(isinstance(one, OptionField) for one in draw.question.fields):
            _is_the_same_whatever_is_said(exercise, draw, right)
            _is_among_what_there_was(exercise, draw, right, by_size=draws.by_size)
    return len(draws.judged)


def _is_of_the_question(one: Evidence, draw: Draw, exercise: Exercise, sizes: frozenset[float]) -> None:
    ladder, question = exercise.ladder, draw.question
    begins = [exercise.key, question.scope]
    need(one.kind.split("/")[:2] == begins, f"its kind is {one.kind!r}; it begins {'/'.join(begins)!r}")
    need(one.unit == ladder.unit, f"its size is in {one.unit!r}, the ladder's in {ladder.unit!r}")
    if ladder.has_sizes:
        need(
            one.size == question.size and one.size in sizes,
            f"its size is {one.size}, the rep's {question.size}",
        )
    else:
        need(one.size is None, f"what is there or not has no size, not {one.size}")
    need(not one.bands or one.unit == LANE_UNIT, f"a size in {one.unit} belongs to no octave band")
    need(set(one.told) <= {BAND, DIRECTION}, f"it tells of {sorted(one.told)}")
    ways = [
        WAYS.get(str(draw.answer[field.key]), 0)
        for field in question.fields
        if isinstance(field, DirectionField)
    ]
    need(one.direction == (ways[0] if ways else 0), f"its direction is {one.direction}, the rep's {ways}")


def _is_the_same_whatever_is_said(exercise: Exercise, draw: Draw, right: tuple[Evidence, ...]) -> None:
    for given in (*_wrong_answers(draw), None):
        other = _said(exercise, draw, given)
        for mine, its in zip(right, other, strict=False):
            same = all(
                getattr(mine, part) == getattr(its, part)
                for part in ("kind", "size", "unit", "bands", "among", "direction")
            )
            need(same, f"what {given} is evidence of is not what the rep is about: {its}")
        need(
            len(right) == len(other),
            f"{given} is {len(other)} pieces of evidence, the right answer {len(right)}",
        )


def _is_among_what_there_was(
    exercise: Exercise, draw: Draw, right: tuple[Evidence, ...], *, by_size: frozenset[str]
) -> None:
    """See that the chance to name it is that of guessing the fields that decide whether it is named."""
    fields = draw.question.fields
    subject = [
        one
        for one in fields
        if one.key not in by_size
        or not is_named(
            _said(exercise, draw, {**draw.answer, one.key: worst_value(one, draw.answer[one.key])})
        )
    ]
    chance = math.prod(one.chance for one in subject)
    guessed = math.prod(one.chance for one in right)
    need(
        math.isclose(guessed, chance, rel_tol=1e-6),
        f"named by guessing {guessed:.4f} of the time; it is {chance:.4f}",
    )


def without_a_change_nothing_is_said(exercise: Exercise) -> Counter[str]:
    """See that at size 0 the sound is the plain one and no answer says anything of an ear.

    A fault that is there or not has one answer that leaves the sound as it is instead.
    """
    seen: Counter[str] = Counter()
    for scope in exercise.scopes:
        for rep in dealt(exercise, scope, count=RENDERED, sizes=(0.0,) if exercise.ladder.has_sizes else ()):
            draw = Draw(rep.question, rep.answer)
            if exercise.ladder.has_sizes:
                need(_moved(rep, draw) < 1e-9, "at size 0 something is changed")
                for given in (rep.answer, *_wrong_answers(draw), None):
                    need(_said(exercise, draw, given) == (), f"at size 0 {given} says something of an ear")
            else:
                every = (rep.answer, *_wrong_answers(draw))
                still = [given for given in every if _moved(rep, Draw(rep.question, given)) < 1e-9]
                need(still, "none of its answers leaves the sound as it is")
            seen[scope] += 1
    return seen


# How it sounds.


def _moved(rep: Rep, draw: Draw) -> float:
    """Return the power of what an answer adds to the plain version, as a share of its power."""
    change = rep.exercise.change(draw.answer, draw.question, rep.excerpt)
    return _power(changed_mix(change, rep.excerpt).samples - rep.base.samples) / _power(rep.base.samples)


def _power(samples: np.ndarray[tuple[int, ...], np.dtype[np.float32]]) -> float:
    return float(np.mean(np.square(samples, dtype=np.float64)))


def _rendered(exercise: Exercise, look: Callable[[Rep], None], *, at_ends: bool = False) -> Counter[str]:
    seen: Counter[str] = Counter()
    for scope in exercise.scopes:
        sizes = askable_sizes(exercise, scope)
        for rep in dealt(exercise, scope, count=RENDERED, sizes=(sizes[0], sizes[-1]) if at_ends else ()):
            look(rep)
            seen[scope] += 1
    return seen


def the_sound_is_fair(exercise: Exercise) -> Counter[str]:
    """See that sounds are finite, below -1 dBFS, of one length, and equally loud unless level is the question.

    ITU-R BS.1770 within 0.1 LU.
    """

    def look(rep: Rep) -> None:
        for sound in (rep.plain, rep.changed):
            need(np.all(np.isfinite(sound.samples)), "its sound is not finite")
            need(np.max(np.abs(sound.samples)) < CEILING, "its sound is over the ceiling")
        need(
            rep.plain.frames == rep.changed.frames == rep.excerpt.frames,
            "plain and changed are not of one length",
        )
        loud = [integrated_loudness_lufs(sound) for sound in (rep.plain, rep.changed)]
        need(exercise.level_is_question or abs(loud[0] - loud[1]) < 0.1, f"plain and changed are {loud} LUFS")

    return _rendered(exercise, look, at_ends=True)


def a_larger_size_changes_more(exercise: Exercise) -> Counter[str]:
    """See that in dB a larger size adds more power to the mix; in other units, that it does something else."""

    def look(rep: Rep) -> None:
        by_size, _ = size_groups(exercise, rep.question.scope)
        sizes = askable_sizes(exercise, rep.question.scope)
        steps = dict.fromkeys((sizes[0], sizes[len(sizes) // 2], sizes[-1]))
        draws = [at_size(rep, size, by_size=by_size) for size in steps]
        moved = [_moved(rep, draw) for draw in draws]
        if exercise.ladder.has_sizes:
            need(min(moved) > 0.0 and len(moved) >= 2, f"at {list(steps)} it adds {moved}")
        if exercise.ladder.unit == LANE_UNIT:
            need(all(one < other for one, other in pairwise(moved)), f"at {list(steps)} it adds {moved}")
        done = {repr(exercise.change(draw.answer, draw.question, rep.excerpt)) for draw in draws}
        need(len(done) == len(steps), f"at {list(steps)} it does the same")

    return _rendered(exercise, look)


def the_same_seed_gives_the_same_rep(exercise: Exercise) -> Counter[str]:
    """See that a rep's code rebuilds it, with what it is listened on, and that all it asks can be played."""
    seen: Counter[str] = Counter()
    on_laptop = 0
    for scope in exercise.scopes:
        codes = set()
        for listening in (Listening(), LAPTOP):
            for first in _dealt_for(exercise, scope, listening):
                on_laptop += listening is LAPTOP
                again = deal(decode(first.code), exercise, SHOW)
                need(
                    np.array_equal(first.changed.samples, again.changed.samples),
                    "its code gives another sound",
                )
                need(
                    (first.answer, first.question) == (again.answer, again.question),
                    "its code asks another question",
                )
                _only_what_is_played(first, listening)
                codes.add(first.code)
                seen[scope] += 1
        need(len(codes) == seen[scope], "two seeds have one code")
    need(on_laptop, "nothing of it can be asked on a laptop")
    return seen


def _dealt_for(exercise: Exercise, scope: str, listening: Listening) -> list[Rep]:
    sizes = askable_sizes(exercise, scope)  # type: ignore[arg-type]
    focus = Focus(sizes[-1], scope, listening=listening)  # type: ignore[arg-type]
    reps: list[Rep] = []
    for seed in range(RENDERED):
        try:
            reps.append(deal(RepSpec(exercise.key, SHOW.key, seed, focus), exercise, SHOW))
        except Refused:
            need(listening is LAPTOP, f"it cannot be asked on a {scope} of noise")
    return reps


def _only_what_is_played(rep: Rep, listening: Listening) -> None:
    need(
        set(rep.bands) <= set(listening.usable_hz),
        f"it counts for {dict(rep.bands)}, which cannot all be played",
    )
    need(not rep.bands or math.isclose(sum(rep.bands.values()), 1.0), f"it counts for {dict(rep.bands)}")
    for field in rep.question.fields:
        for one in field.of if isinstance(field, ListField) else (field,):
            if isinstance(one, BandField):
                lanes = {one.scale.octave_hz(float(option)) for option in one.options}
                need(
                    lanes <= set(listening.usable_hz),
                    f"{one.key}: bands that cannot be played are on offer: {lanes}",
                )


def every_wrong_answer_sounds_otherwise(exercise: Exercise) -> Counter[str]:
    """See that any answer can be played, and that none that is wrong sounds as the right one does."""

    def look(rep: Rep) -> None:
        right = _sound_of(rep, rep.answer)
        for one in rep.question.fields:
            given = {**rep.answer, one.key: worst_value(one, rep.answer[one.key])}
            sound = rep.version_for(given)
            need(sound.frames == rep.plain.frames, f"{given} is of another length")
            need(np.all(np.isfinite(sound.samples)), f"{given} does not sound")
            need(
                not np.array_equal(_sound_of(rep, given).samples, right.samples),
                f"{given} sounds as {rep.answer} does",
            )

    return _rendered(exercise, look)


def _sound_of(rep: Rep, answer: Answer) -> Sound:
    return changed_mix(rep.exercise.change(answer, rep.question, rep.excerpt), rep.excerpt)


CHECKS: tuple[Check, ...] = (
    is_well_made,
    the_offer_tells_nothing,
    every_option_is_right_sometimes,
    what_is_right_is_drawn_evenly,
    a_guess_is_seldom_right,
    its_question_can_be_kept_read_and_told,
    the_remedy_names_a_control,
    an_answer_is_worth_what_it_should,
    a_wrong_answer_is_never_named,
    its_evidence_is_well_formed,
    without_a_change_nothing_is_said,
    the_sound_is_fair,
    a_larger_size_changes_more,
    the_same_seed_gives_the_same_rep,
    every_wrong_answer_sounds_otherwise,
)
