"""Bells on the bands of a scale: what all exercises about a boost or cut of a band share."""

from numpy.random import Generator

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import title_of
from trainer.practice import audibility
from trainer.practice.band_scale import BandScale, band_label
from trainer.practice.change import MIX, Bell, Change, Edit
from trainer.practice.exercise import Focus, Question, Unhearable
from trainer.practice.values import Answer, number_in


def target_and_bands(
    excerpt: Excerpt, focus: Focus, rng: Generator, *, scale: BandScale, fewest: int
) -> tuple[str, tuple[float, ...]]:
    """Return what is asked about, drawn evenly, and the bands on offer there by nominal hertz: those heard both ways.

    Raises
    ------
    Unhearable
        If nothing of the focus's scope offers the fewest bands.
    """
    targets = {"mix": (MIX,), "section": excerpt.sections, "stem": excerpt.parts}[focus.scope or MIX]
    for target in rng.permutation(targets):
        bands = audibility.lanes(
            excerpt, str(target), size_db=focus.size, listening=focus.listening, bands=scale.bands
        )
        if len(bands) >= fewest:
            return str(target), bands
    raise Unhearable(f"no {focus.scope} shows it in {fewest} {scale.title}s")


def bell(answer: Answer, question: Question, *, scale: BandScale) -> Change:
    """Return a bell as wide as the answer's band, on the band's exact centre."""
    sign = 1.0 if answer["direction"] == "boost" else -1.0
    centre_hz = scale.band(number_in(answer, "band")).centre_hz
    process = Bell(centre_hz, sign * question.size, width_octaves=scale.width_octaves)
    return Change((Edit(question.target, process),))


def bell_back(answer: Answer, question: Question, *, equalizer: str, width: str) -> str:
    """Return which band of an equalizer takes the answer's bell back; ``width`` is the band's, in words."""
    back = "cut" if answer["direction"] == "boost" else "boost"
    where = "mix bus" if question.target == MIX else f"{title_of(question.target)} channels"
    return f"{where}: {equalizer}, {band_label(number_in(answer, 'band'))}, {width}, {back} by {question.size:g} dB"
