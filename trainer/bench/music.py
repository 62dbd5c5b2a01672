"""Making stems: how many times faster than they sound, beside FluidSynth on the same notes."""

from collections.abc import Iterator
from itertools import count
from statistics import median

from numpy.random import default_rng

from trainer.bench.fluidsynth import found_soundfont, seconds_to_render
from trainer.bench.measure import seconds_of
from trainer.bench.row import Clock, Measured, Scale
from trainer.ensemble.bank import NoteBank
from trainer.ensemble.composer import compose
from trainer.ensemble.parts import LINE_UP_BY_KEY
from trainer.ensemble.score import Score
from trainer.ensemble.shows import stems_of

LINE_UP = LINE_UP_BY_KEY["field-show"]
SEED = 4242


def scores(*, first: int = 0, shortest_s: float = 0.0) -> Iterator[Score]:
    """Yield scores in which the whole field show plays, at least so long."""
    for number in count(first):
        score = compose(default_rng([SEED, number]), line_up=LINE_UP)
        if len(score.parts) == len(LINE_UP.parts) and score.duration_s >= shortest_s:
            yield score


def cold(scale: Scale, clock: Clock) -> Measured:  # noqa: ARG001 - every row takes the same
    """Measure the first excerpt of a program: nothing in its note bank yet."""
    some = scores()
    stems_of(next(some), bank=NoteBank(), seed=0)  # loads what is loaded once: windows, libraries
    score = next(some)
    return _beside_fluidsynth(score, times=_times(score, NoteBank(), clock), clock=clock)


def steady(scale: Scale, clock: Clock) -> Measured:
    """Measure further excerpts, new ones all, with one note bank: the median of the later half."""
    bank, some = NoteBank(), scores(first=100)
    times = [_times(next(some), bank, clock) for _ in range(2 * scale.excerpts)]
    measured = _beside_fluidsynth(next(some), times=median(times[scale.excerpts :]), clock=clock)
    note = f"after {scale.excerpts} others; the bank holds {bank.held_bytes / 1e6:.0f} MB"
    return Measured(measured.value, measured.peer, measured.beside, note)


def _times(score: Score, bank: NoteBank, clock: Clock) -> float:
    """Return how many times faster than real time the stems of a score are made."""
    return score.duration_s / seconds_of(lambda: stems_of(score, bank=bank, seed=SEED), clock=clock)


def _beside_fluidsynth(score: Score, *, times: float, clock: Clock) -> Measured:
    soundfont = found_soundfont()
    if soundfont is None:
        return Measured(times, None, "FluidSynth or a soundfont is not installed")
    peer_s = seconds_to_render(score, soundfont, clock=clock)
    return Measured(times, score.duration_s / peer_s, f"FluidSynth, same notes ({soundfont.name})")
