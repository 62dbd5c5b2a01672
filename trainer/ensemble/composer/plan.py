"""The plan of a loop: tempo, metre, bars, phrases, chords and hits, drawn before a single note is written."""

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from trainer.ensemble.composer.dice import Dice, Table
from trainer.ensemble.composer.events import TICKS_PER_BEAT
from trainer.ensemble.composer.harmony import Chord, Key, draw_key, progression

TEMPO_BPM = (104, 176)
LOOP_S = (6.0, 14.0)
METRES: Table[int] = ((5, 4), (1, 3))
BAR_COUNTS: Table[int] = ((1, 2), (0.5, 3), (5, 4), (0.5, 5), (3, 6), (0.5, 7), (5, 8))

FORMS: dict[int, Table[str]] = {
    2: ((1, "A1 B1"), (1, "A1 A1")),
    3: ((1, "A1 A1 B1"), (1, "A1 B2")),
    4: ((2, "A1 A1 B1 A1"), (2, "A1 B1 A1 C1"), (2, "A2 B2"), (1, "A1 A1 B2"), (2, "A2 A2")),
    5: ((1, "A2 A2 B1"), (1, "A2 B1 A2")),
    6: ((2, "A2 A2 B2"), (2, "A2 B2 A2"), (1, "A1 A1 B1 A1 A1 C1")),
    7: ((1, "A2 A2 B2 C1"), (1, "A2 B2 A2 C1")),
    8: ((3, "A2 A2 B2 A2"), (2, "A2 B2 A2 C2"), (2, "A2 A2 B2 C2"), (1, "A4 B4"), (1, "A2 B2 C2 B2")),
}
"""Phrases by the length of the loop: a letter for the music, a digit for its bars."""

HITS: Table[str] = ((3, "opening"), (2, "phrases"), (3, "answer"), (2, "pair"))


@dataclass(frozen=True, slots=True)
class Phrase:
    """A stretch of the loop; phrases with the same label share their music."""

    label: str
    start: int
    ticks: int

    @property
    def end(self) -> int:
        """The tick after the phrase."""
        return self.start + self.ticks


@dataclass(frozen=True, slots=True)
class Span:
    """How long a chord lasts."""

    start: int
    ticks: int
    chord: Chord


@dataclass(frozen=True)
class Plan:
    """What all parts agree on. Times are in ticks; ``hits`` are struck by the whole ensemble."""

    tempo_bpm: int
    beats_per_bar: int
    bars: int
    key: Key
    phrases: tuple[Phrase, ...]
    spans: tuple[Span, ...]
    hits: tuple[int, ...]

    @property
    def bar_ticks(self) -> int:
        """The length of a bar."""
        return self.beats_per_bar * TICKS_PER_BEAT

    @property
    def ticks(self) -> int:
        """The length of the loop."""
        return self.bars * self.bar_ticks

    def ticks_in(self, duration_s: float) -> int:
        """Return a duration as the nearest number of ticks, one at the least."""
        return max(1, round(duration_s * self.tempo_bpm / 60.0 * TICKS_PER_BEAT))

    @cached_property
    def roll_ticks(self) -> int:
        """The distance of two strokes of a roll: the division nearest to thirteen a second."""
        return min((3, 4, 6), key=lambda ticks: abs(ticks - self.ticks_in(1.0) / 13.0))

    @cached_property
    def _span_starts(self) -> list[int]:
        return [span.start for span in self.spans]

    def chord_at(self, tick: int) -> Chord:
        """Return the chord that sounds at a tick; the loop goes round."""
        return self.spans[bisect_right(self._span_starts, tick % self.ticks) - 1].chord

    def chord_ticks_left(self, tick: int) -> int:
        """Return how long the chord that sounds at a tick of the loop goes on."""
        span = self.spans[bisect_right(self._span_starts, tick) - 1]
        return span.start + span.ticks - tick

    @property
    def bar_lines(self) -> range:
        """The first tick of every bar."""
        return range(0, self.ticks, self.bar_ticks)


def draw_plan(dice: Dice) -> Plan:
    """Return a plan whose loop lasts from 6 to 14 s."""
    tempo_bpm = int(dice.between(TEMPO_BPM[0], TEMPO_BPM[1] + 1))
    beats_per_bar = dice.weighted(METRES)
    bars = dice.weighted(_bar_counts(tempo_bpm, beats_per_bar))
    key = draw_key(dice)
    bar_ticks = beats_per_bar * TICKS_PER_BEAT
    phrases = _phrases(dice.weighted(FORMS[bars]), bar_ticks)
    return Plan(
        tempo_bpm=tempo_bpm,
        beats_per_bar=beats_per_bar,
        bars=bars,
        key=key,
        phrases=phrases,
        spans=_spans(progression(dice, key, bars=bars, halves=beats_per_bar == 4), bar_ticks),
        hits=_hits(dice, phrases, bar_ticks),
    )


def _bar_counts(tempo_bpm: int, beats_per_bar: int) -> Table[int]:
    bar_s = beats_per_bar * 60.0 / tempo_bpm
    return [(weight, bars) for weight, bars in BAR_COUNTS if LOOP_S[0] <= bars * bar_s <= LOOP_S[1]]


def _phrases(form: str, bar_ticks: int) -> tuple[Phrase, ...]:
    phrases: list[Phrase] = []
    for word in form.split():
        label, bars = word[0], int(word[1:])
        start = phrases[-1].end if phrases else 0
        phrases.append(Phrase(label, start, bars * bar_ticks))
    return tuple(phrases)


def _spans(chords: list[tuple[float, Chord]], bar_ticks: int) -> tuple[Span, ...]:
    spans: list[Span] = []
    for bars, chord in chords:
        start = spans[-1].start + spans[-1].ticks if spans else 0
        spans.append(Span(start, round(bars * bar_ticks), chord))
    return tuple(spans)


def _hits(dice: Dice, phrases: tuple[Phrase, ...], bar_ticks: int) -> tuple[int, ...]:
    last_beat = phrases[-1].end - TICKS_PER_BEAT
    offbeat = last_beat + TICKS_PER_BEAT // 2
    middle = phrases[len(phrases) // 2].start
    hits = {
        "opening": (0,),
        "phrases": tuple(phrase.start for phrase in phrases),
        "answer": (0, middle, offbeat),
        "pair": (0, last_beat - bar_ticks // 2, last_beat),
    }[dice.weighted(HITS)]
    return tuple(sorted(set(hits)))
