"""Rhythm: a grammar thrown by dice until every length is a pulse."""

from bisect import bisect_right
from functools import lru_cache

from trainer.ensemble.composer.dice import Dice
from trainer.ensemble.composer.events import Pulse, moved
from trainer.ensemble.composer.grammars import LENGTHS, Grammar
from trainer.ensemble.composer.plan import Plan

BAR_SYMBOL = {4: "four", 3: "three"}
MARKS = frozenset("!.-_")
HIT_TICKS = 12


@lru_cache(maxsize=256)
def _words(row: str) -> tuple[str, ...]:
    return tuple(row.split())


def divided(dice: Dice, grammar: Grammar, symbol: str, start: int = 0) -> list[Pulse]:
    """Return the pulses, rests and ties a symbol divides into."""
    row = dice.weighted(grammar[symbol])
    if row in MARKS:
        return [Pulse(start, LENGTHS[symbol], row)]
    pulses: list[Pulse] = []
    for child in _words(row):
        pulses += divided(dice, grammar, child, start)
        start += LENGTHS[child]
    return pulses


def sounding(pulses: list[Pulse]) -> list[Pulse]:
    """Return the pulses without rests; a tie lengthens the note before it (a rest, if there is none)."""
    heard: list[Pulse] = []
    for pulse in pulses:
        if pulse.mark == "_" and heard and heard[-1].tick + heard[-1].ticks == pulse.tick:
            heard[-1] = heard[-1]._replace(ticks=heard[-1].ticks + pulse.ticks)
        elif pulse.mark not in "-_":
            heard.append(pulse)
    return heard


def phrase_rhythm(dice: Dice, grammar: Grammar, plan: Plan, *, ticks: int) -> list[Pulse]:
    """Return the rhythm of a phrase, from tick 0, with a note on its first beat."""
    pulses: list[Pulse] = []
    for bar in range(0, ticks, plan.bar_ticks):
        pulses += divided(dice, grammar, BAR_SYMBOL[plan.beats_per_bar], bar)
    pulses[0] = pulses[0]._replace(mark="!")
    return sounding(pulses)


def loop_rhythm(dice: Dice, grammar: Grammar, plan: Plan) -> list[Pulse]:
    """Return a rhythm for the loop: phrases with one label are alike but for a new last beat now and then."""
    by_label: dict[str, list[Pulse]] = {}
    loop: list[Pulse] = []
    for phrase in plan.phrases:
        if phrase.label not in by_label:
            by_label[phrase.label] = phrase_rhythm(dice, grammar, plan, ticks=phrase.ticks)
            loop += moved(by_label[phrase.label], phrase.start)
        else:
            loop += moved(_varied(dice, grammar, by_label[phrase.label], phrase.ticks), phrase.start)
    return loop


def _varied(dice: Dice, grammar: Grammar, pulses: list[Pulse], ticks: int) -> list[Pulse]:
    """Return a phrase again, mostly with another ending."""
    if dice.chance(0.3):
        return pulses
    cut = ticks - dice.one_of((24, 48))
    kept = [pulse for pulse in pulses if pulse.tick + pulse.ticks <= cut]
    resumed = kept[-1].tick + kept[-1].ticks if kept else 0
    ending = sounding(
        divided(dice, grammar, "beat", ticks - 24)
        if ticks - cut == 24
        else divided(dice, grammar, "half", cut)
    )
    return kept + [pulse for pulse in ending if pulse.tick >= resumed]


def with_hits(pulses: list[Pulse], plan: Plan) -> list[Pulse]:
    """Return the pulses with a hit (``R``) wherever the whole ensemble has one, and air around it."""
    air = {hit + ticks for hit in plan.hits for ticks in range(-2, HIT_TICKS)}
    hits = [*plan.hits, plan.ticks]
    clear = [
        Pulse(tick, min(ticks, hits[bisect_right(hits, tick)] - tick), mark)
        for tick, ticks, mark in pulses
        if tick not in air
    ]
    return sorted(clear + [Pulse(hit, HIT_TICKS, "R") for hit in plan.hits])
