"""Pictures of a change on the reveal: dB over frequency in the lanes, dB by band, or gain over time."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from trainer.dsp.octave_bands import OCTAVES
from trainer.playback.sdl import pygame
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.pictures import OverBands, OverFrequency, OverTime, Picture
from trainer.window.canvas import Canvas
from trainer.window.lanes import Field, draw_ground, draw_names, draw_scale, names_height
from trainer.window.strokes import draw_curve
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, SMALL

LEAST_RANGE_DB = 12.0
STEP_DB = 6.0
WAS, SAID = "what it was", "what you said"
TRACE_SLOTS = 110
"""Into how many moments a loop is cut to show a compressor's gain."""
TOP_DB = 2.5


@dataclass(frozen=True, slots=True)
class Plot:
    """The room of a picture: lanes, and a scale of dB from ``-range_db`` (or ``low_db``) to ``range_db``."""

    field: Field
    low_db: float
    high_db: float

    def share(self, gain_db: float) -> float:
        """Return a gain's height, 0 at the bottom and 1 at the top."""
        return (gain_db - self.low_db) / (self.high_db - self.low_db)

    def depths(self, gains_db: NDArray[Any]) -> NDArray[np.float64]:
        """Return gains as pixels from the top of the room, kept inside it."""
        shares = (np.asarray(gains_db, np.float64) - self.low_db) / (self.high_db - self.low_db)
        return np.asarray((1.0 - np.clip(shares, 0.005, 0.995)) * self.field.rect.h)


def draw_sights(
    canvas: Canvas, body: pygame.Rect, truth: Picture, said: Picture | None, tone: Colour
) -> None:
    """Draw what it was, and dashed beside it what was said where that is another picture of the same kind."""
    other = said if said is not None and type(said) is type(truth) else None
    _DRAWN[type(truth)](canvas, body, truth, other, tone)


def _over_frequency(
    canvas: Canvas, body: pygame.Rect, truth: OverFrequency, said: OverFrequency | None, tone: Colour
) -> None:
    gains = [one.gains_db for one in (truth, said) if one is not None]
    plot = _lanes(canvas, body, max(float(np.abs(one).max()) for one in gains), "dB over frequency")
    for picture, ink in ((said, canvas.theme.dim), (truth, tone)):
        if picture is not None:
            _curve(canvas, plot, _along(picture, plot.field.rect.w), ink, is_truth=picture is truth)
    taken = _label_peak(canvas, plot, truth, WAS, tone, pygame.Rect(0, 0, 0, 0))
    if said is not None:
        _label_peak(canvas, plot, said, SAID, canvas.theme.dim, taken)


def _along(picture: OverFrequency, columns: int) -> NDArray[np.float64]:
    """Return the gain in each column, frequencies logarithmic from the first lane to the last."""
    low, high = np.log(OCTAVES[0].low_hz), np.log(OCTAVES[-1].high_hz)
    at = low + (np.arange(columns) + 0.5) / columns * (high - low)
    return np.asarray(np.interp(at, np.log(picture.frequencies_hz), picture.gains_db))


def _curve(canvas: Canvas, plot: Plot, gains_db: NDArray[Any], ink: Colour, *, is_truth: bool) -> None:
    depths = plot.depths(gains_db)
    zero = float(plot.depths(np.zeros(1))[0])
    draw_curve(
        canvas.surface,
        plot.field.rect,
        depths,
        ink,
        width=canvas.px(4) if is_truth else canvas.px(2.5),
        zero=zero if is_truth else None,
        dash=0.0 if is_truth else float(canvas.px(9)),
    )


def _label_peak(
    canvas: Canvas, plot: Plot, picture: OverFrequency, words: str, ink: Colour, taken: pygame.Rect
) -> pygame.Rect:
    """Write words beside the furthest point of a curve, on its outer side, out of the way of others."""
    rect = plot.field.rect
    gains = _along(picture, rect.w)
    peak = int(np.abs(gains).argmax())
    y = rect.top + round(float(plot.depths(gains[peak : peak + 1])[0]))
    is_up = gains[peak] >= 0.0
    place = pygame.Rect(0, 0, canvas.width_of(words, BODY, bold=words == WAS), canvas.line_height(BODY))
    place.midbottom = (rect.left + peak, y - canvas.px(4))
    if not is_up:
        place.midtop = (rect.left + peak, y + canvas.px(6))
    if place.colliderect(taken):
        beside = (
            taken.right + canvas.px(14)
            if rect.left + peak >= taken.centerx
            else taken.left - canvas.px(14) - place.w
        )
        place.left = beside
    place.clamp_ip(rect.inflate(-canvas.px(8), -canvas.px(4)))
    if place.colliderect(taken):  # no room beside it: across the line of 0 dB
        zero = plot.field.y(plot.share(0.0))
        place.top = zero + canvas.px(6) if is_up else zero - place.h - canvas.px(6)
    canvas.write(words, place.center, BODY, colour=ink, bold=words == WAS, anchor="center")
    return place


def _over_bands(
    canvas: Canvas, body: pygame.Rect, truth: OverBands, said: OverBands | None, tone: Colour
) -> None:
    """Draw bars: how far the level of each octave band of the mix moved."""
    furthest = max(float(np.nanmax(np.abs(one.gains_db))) for one in (truth, said) if one is not None)
    plot = _lanes(canvas, body, furthest, _with_dashes("how far the mix moved, dB · bars: what it was", said))
    for place, gain_db in _by_lane(truth):
        _bar(canvas, plot, place, gain_db, tone)
    for place, gain_db in _by_lane(said) if said is not None else ():
        _mark(canvas, plot, place, gain_db)


def _by_lane(picture: OverBands) -> list[tuple[int, float]]:
    pairs = zip(picture.bands_hz, picture.gains_db, strict=True)
    return [(OCTAVE_SCALE.place(float(hz)), float(gain)) for hz, gain in pairs if np.isfinite(gain)]


def _bar(canvas: Canvas, plot: Plot, place: int, gain_db: float, ink: Colour) -> None:
    lane = plot.field.lane(place)
    zero, end = plot.field.y(plot.share(0.0)), plot.field.y(plot.share(gain_db))
    bar = pygame.Rect(0, min(zero, end), round(0.5 * lane.w), max(2, abs(zero - end)))
    bar.centerx = lane.centerx
    canvas.bar(bar, ink, share=0.35)
    canvas.bar(pygame.Rect(bar.left, end - 1, bar.w, max(2, canvas.px(3))), ink)
    if abs(gain_db) < 0.05:
        return
    at = (lane.centerx, end + canvas.px(4) if gain_db < 0 else end - canvas.px(4))
    anchor = "midtop" if gain_db < 0 else "midbottom"
    canvas.write(f"{gain_db:+.1f}".replace("-", "−"), at, SMALL, anchor=anchor, width=lane.w)


def _mark(canvas: Canvas, plot: Plot, place: int, gain_db: float) -> None:
    lane, y = plot.field.lane(place), plot.field.y(plot.share(gain_db))
    dash = max(3, canvas.px(6))
    for x in range(lane.left + lane.w // 8, lane.right - lane.w // 8 - dash, round(1.6 * dash)):
        canvas.bar(pygame.Rect(x, y, dash, max(2, canvas.px(2))), canvas.theme.dim)


def _over_time(
    canvas: Canvas, body: pygame.Rect, truth: OverTime, said: OverTime | None, tone: Colour
) -> None:
    """Draw the gain over the loop as bars that hang from 0 dB, as deep as it goes in each moment."""
    lowest = min(float(np.min(one.gains_db)) for one in (truth, said) if one is not None)
    low_db = -STEP_DB * np.ceil(max(LEAST_RANGE_DB, -lowest) / STEP_DB)
    field = _room(canvas, body, _with_dashes(_words_over_time(truth), said))
    plot = Plot(field, float(low_db), TOP_DB)
    whole_s = float(truth.times_s[-1])
    seconds = Field(field.rect, count=max(1, round(whole_s / 2)))
    draw_ground(canvas, seconds)
    names = [f"{round(whole_s * (n + 0.5) / seconds.count)} s" for n in range(seconds.count)]
    draw_names(canvas, seconds, names=names)
    marks = [
        (plot.share(db), f"{db:.0f}".replace("-", "−")) for db in np.arange(low_db + STEP_DB, 0.1, STEP_DB)
    ]
    draw_scale(canvas, field, marks)
    _hang(canvas, plot, truth, tone)
    if said is not None:
        _trace(canvas, plot, said)


def _words_over_time(truth: OverTime) -> str:
    return f"gain over the loop, dB · bars: what it was, meter swing {truth.swing_db:.1f} dB"


def _depths_in_slots(picture: OverTime) -> NDArray[np.float64]:
    """Return the lowest gain in each of some slots of the loop."""
    return np.array([float(slot.min()) for slot in np.array_split(picture.gains_db, TRACE_SLOTS)])


def _hang(canvas: Canvas, plot: Plot, picture: OverTime, ink: Colour) -> None:
    rect, gains_db = plot.field.rect, _depths_in_slots(picture)
    wide, zero = rect.w / len(gains_db), plot.field.y(plot.share(0.0))
    for number, gain_db in enumerate(gains_db):
        left = rect.left + round((number + 0.18) * wide)
        bar = pygame.Rect(
            left, zero, max(2, round(0.64 * wide)), max(1, plot.field.y(plot.share(gain_db)) - zero)
        )
        canvas.bar(bar, ink)


def _trace(canvas: Canvas, plot: Plot, picture: OverTime) -> None:
    rect, gains_db = plot.field.rect, _depths_in_slots(picture)
    wide = rect.w / len(gains_db)
    for number, gain_db in enumerate(gains_db):
        y, left = plot.field.y(plot.share(gain_db)), rect.left + round(number * wide)
        canvas.bar(pygame.Rect(left, y, round(wide), max(2, canvas.px(2.5))), canvas.theme.ink)


def _with_dashes(words: str, said: Picture | None) -> str:
    return words if said is None else f"{words} · dashes: what you said"


def _lanes(canvas: Canvas, body: pygame.Rect, furthest_db: float, words: str) -> Plot:
    """Draw lanes for gains up and down, a chalk line at 0 dB."""
    range_db = STEP_DB * float(np.ceil(max(LEAST_RANGE_DB, furthest_db + 2.0) / STEP_DB))
    plot = Plot(_room(canvas, body, words), -range_db, range_db)
    steps = np.arange(-range_db + STEP_DB / 2, range_db, STEP_DB / 2)
    hashes = [(plot.share(float(db)), float(db) % STEP_DB == 0.0) for db in steps if db]
    draw_ground(canvas, plot.field, hashes=hashes)
    draw_names(canvas, plot.field)
    marks = [float(db) for db in np.arange(-range_db + STEP_DB, range_db, STEP_DB)]
    for gain_db in marks:
        at = (plot.field.rect.left - canvas.px(8), plot.field.y(plot.share(gain_db)))
        sign = f"{gain_db:+.0f}".replace("-", "−") if gain_db else "0 dB"
        canvas.write(sign, at, SMALL, colour=canvas.theme.dim, anchor="midright")
    zero = pygame.Rect(
        plot.field.rect.left, plot.field.y(plot.share(0.0)), plot.field.rect.w, max(1, canvas.px(1))
    )
    canvas.bar(zero, canvas.theme.ink)
    return plot


def _room(canvas: Canvas, body: pygame.Rect, words: str) -> Field:
    """Write what is drawn; return the room for it below, beside the scale and above the names."""
    left = body.left + canvas.width_of("+12 dB", SMALL) + canvas.px(8)
    canvas.write(words, (left, body.top), SMALL, colour=canvas.theme.dim, width=body.right - left)
    top = body.top + canvas.line_height(SMALL) + canvas.px(2)
    height = body.bottom - top - names_height(canvas, with_digits=False)
    return Field(pygame.Rect(left, top, body.right - left, height))


_DRAWN: dict[type, Callable[..., None]] = {
    OverFrequency: _over_frequency,
    OverBands: _over_bands,
    OverTime: _over_time,
}
