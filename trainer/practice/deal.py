"""Dealing: from a spec to a rep that can be heard: an excerpt, a question, the plain and the changed sound."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from numpy.random import Generator, SeedSequence, default_rng

from trainer.dsp.octave_bands import band_powers_over_time
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.shows import Show
from trainer.practice import audibility, fairness, moved_bands
from trainer.practice.change import Change, changed_mix
from trainer.practice.exercise import Draw, Exercise, Focus, Question, Scope, Unhearable
from trainer.practice.listening import Listening
from trainer.practice.rep_code import RepSpec, encode
from trainer.practice.values import Answer
from trainer.refusal import Refused
from trainer.sound import Sound

EXCERPTS_TRIED = 12
"""How many excerpts are taken before a size is called too small to be heard."""


@dataclass(frozen=True, eq=False)
class Rep:
    """One question, ready to be heard and answered.

    Attributes
    ----------
    base
        The plain mix before its loudness was set: the excerpt's, or what the exercise's setting made of it.
    bands
        The octave bands it counts for, nominal hertz to weight, strongest first.
    """

    spec: RepSpec
    exercise: Exercise
    excerpt: Excerpt
    question: Question
    answer: Answer
    change: Change
    base: Sound
    plain: Sound
    changed: Sound
    bands: Mapping[float, float]

    @cached_property
    def code(self) -> str:
        """The rep code."""
        return encode(self.spec)

    def version_for(self, given: Answer) -> Sound:
        """Return how somebody's answer would have sounded, at the level of the rep."""
        if given == self.answer:
            return self.changed
        change = self.exercise.change(given, self.question, self.excerpt)
        return _fair(
            self.exercise, self.base, changed_mix(change, self.excerpt), _chance(self.spec, "answer")
        )[1]


def deal(spec: RepSpec, exercise: Exercise, show: Show) -> Rep:
    """Return the rep of a spec: the same for the same spec, wherever and whenever.

    The excerpt comes first: one on which nothing of this size could be asked is left for another, whatever was to be
    asked on it. What is then asked is drawn from what is on offer there.

    Raises
    ------
    Refused
        If the size is off the exercise's ladder, the exercise is not asked on this scope, the band is one
        that the setup cannot play, or the size is too small to be heard in this show.
    """
    exercise.ladder.check(spec.focus.size)
    _check_band(spec.focus)
    if spec.focus.scope not in (None, *exercise.scopes):
        asked_on = " or a ".join(exercise.scopes)
        raise Refused(f"{exercise.title} is asked on a {asked_on}, not on a {spec.focus.scope}")
    reason = ""
    for seed in SeedSequence(spec.seed).generate_state(EXCERPTS_TRIED):
        try:
            return deal_on(show.excerpt(int(seed)), spec, exercise)
        except Unhearable as why:
            reason = str(why)
    raise Refused(
        f"a size of {spec.focus.size:g} {exercise.ladder.unit} was too small to be heard in {EXCERPTS_TRIED} "
        f"excerpts of {show.title} ({reason}): try a larger one"
    )


def _check_band(focus: Focus) -> None:
    """Refuse a band that the setup cannot play."""
    usable_hz = focus.listening.usable_hz
    if focus.band_hz is not None and focus.band_hz not in usable_hz:
        usable = ", ".join(f"{name_hz:g}" for name_hz in usable_hz)
        raise Refused(
            f"the octave band {focus.band_hz:g} Hz is not one that this listening setup can play; it plays "
            f"{usable} Hz"
        )


def deal_on(excerpt: Excerpt, spec: RepSpec, exercise: Exercise) -> Rep:
    """Return the rep of a spec on a given excerpt.

    Raises
    ------
    Unhearable
        If no change of this size could be heard on it.
    """
    *others, last = scopes_in_turn(spec, exercise)
    for scope in others:
        try:
            return _deal_on_scope(excerpt, spec, exercise, scope)
        except Unhearable:
            continue
    return _deal_on_scope(excerpt, spec, exercise, last)


def _deal_on_scope(excerpt: Excerpt, spec: RepSpec, exercise: Exercise, scope: Scope) -> Rep:
    focus = replace(settled(spec, exercise), scope=scope)
    draw = exercise.draw(excerpt, focus, _chance(spec, "draw"))
    change = exercise.change(draw.answer, draw.question, excerpt)
    changed = changed_mix(change, excerpt)
    setting = exercise.setting(draw.question, excerpt)
    base = changed_mix(setting, excerpt) if setting.edits else excerpt.mix
    if change != setting:  # a fault that is there or not may be asked about where it is not
        _check_heard(change, draw, excerpt, focus.listening)
    bands = _bands(draw, excerpt, changed, listening=focus.listening)
    plain, changed = _fair(exercise, base, changed, _chance(spec, "trim"))
    return Rep(spec, exercise, excerpt, draw.question, draw.answer, change, base, plain, changed, bands)


def settled(spec: RepSpec, exercise: Exercise) -> Focus:
    """Return the spec's focus with what it left open drawn, evenly and before any excerpt is looked at."""
    rng, focus = _chance(spec, "focus"), spec.focus
    scope = exercise.scopes[rng.integers(len(exercise.scopes))]
    band_hz = focus.listening.usable_hz[rng.integers(len(focus.listening.usable_hz))]
    direction = int(rng.choice((1, -1)))
    return replace(
        focus,
        scope=focus.scope or scope,
        band_hz=focus.band_hz or band_hz,
        direction=focus.direction or direction,
    )


def scopes_in_turn(spec: RepSpec, exercise: Exercise) -> tuple[Scope, ...]:
    """Return the scopes to try on an excerpt: the one asked for; else the one drawn, then the rest."""
    first = settled(spec, exercise).scope or exercise.scopes[0]
    if spec.focus.scope is not None:
        return (first,)
    return (first, *(scope for scope in exercise.scopes if scope != first))


_PURPOSES = ("focus", "draw", "trim", "answer")


def _chance(spec: RepSpec, purpose: str) -> Generator:
    """Return the generator for one purpose: what one draws does not move another."""
    return default_rng(SeedSequence([spec.seed, 1 + _PURPOSES.index(purpose)]))


def _fair(exercise: Exercise, base: Sound, changed: Sound, rng: Generator) -> tuple[Sound, Sound]:
    """Return the plain and the changed mix as they are played."""
    reference = fairness.reference_of(base)
    if exercise.level_is_question:
        return fairness.side_by_side(changed, reference)
    return fairness.matched(changed, reference, rng)


def _check_heard(change: Change, draw: Draw, excerpt: Excerpt, listening: Listening) -> None:
    """Raise `Unhearable` where no edit of a change would be heard; nothing is what a size of 0 is for."""
    if draw.question.size > 0.0 and not any(
        audibility.is_heard(edit.process, excerpt, edit.target, listening=listening) for edit in change.edits
    ):
        raise Unhearable("what was drawn moved nothing an ear would hear")


def _bands(draw: Draw, excerpt: Excerpt, changed: Sound, *, listening: Listening) -> Mapping[float, float]:
    """Return the octave bands the rep counts for: those it is drawn for, else those its change moved."""
    if draw.question.size == 0.0:
        return {}
    if draw.bands is not None:
        return draw.bands
    before, after = excerpt.band_powers_over_time("mix"), band_powers_over_time(changed)
    return moved_bands.weights(before, after, usable_hz=listening.usable_hz)
