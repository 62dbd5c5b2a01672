"""The bass drums: the concert bass drum, and the line of five that the battery carries."""

import numpy as np

from trainer.ensemble.voices.contact import Blow, Contact
from trainer.ensemble.voices.hits import FEW_LAYERS, LAYERS, delayed, loudness, placed, settled
from trainer.ensemble.voices.membranes import TWO_HEADS, Drum, beat_drum
from trainer.ensemble.voices.modal import Mono
from trainer.ensemble.voices.sticks import rim_click
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice
from trainer.units import db_to_ratio

CONCERT_HZ = 41.0
CONCERT_GAIN_DB = -21.0
LINE_HZ = (58.0, 71.0, 86.0, 104.0, 128.0)
"""The five drums' lowest modes from the largest up (tuned by the numbers; common practice, no source)."""

LINE_GAIN_DB = -17.5
LINE_PANS = (0.3, 0.15, 0.0, -0.15, -0.3)
PLAYER_SD_S = 0.003

RATIOS = (*TWO_HEADS, 6.4, 7.7, 9.1, 10.8)

CONCERT = Drum(
    ratios=RATIOS,
    levels_db=(0.0, 0.0, -2.0, -1.0, -4.0, -7.0, -10.0, -13.0, -16.0, -18.0, -20.0),
    t60_s=(3.2, 2.3, 2.2, 1.7, 1.4, 1.2, 1.0, 0.8, 0.65, 0.5, 0.4),
    contact=Contact(full_s=0.0011, exponent=0.4),
    blows=(
        Blow(120.0, 900.0, 0.02, -3.0, exponent=0.4, rise_s=0.001),
        Blow(700.0, 4_000.0, 0.012, -6.0, exponent=1.0, rise_s=0.0005),
    ),
    upper=40,
    upper_hz=(300.0, 3_000.0),
    upper_db=-20.0,
    upper_t60_s=0.5,
    glide_depth=0.06,
    glide_s=0.08,
)


def line_drum(index: int) -> Drum:
    """Return one drum of the line, muffled: the larger ring longer."""
    lowest_s = 0.82 - 0.1 * index
    shares = (1.0, 0.8, 0.8, 0.65, 0.55, 0.5, 0.4, 0.35, 0.3, 0.25, 0.2)
    return Drum(
        ratios=RATIOS,
        levels_db=(0.0, -3.0, -4.0, -6.0, -9.0, -12.0, -14.0, -16.0, -18.0, -20.0, -22.0),
        t60_s=tuple(lowest_s * share for share in shares),
        contact=Contact(full_s=0.0008, exponent=0.3),
        blows=(
            Blow(200.0, 1_500.0, 0.010, -8.0, exponent=0.4),
            Blow(900.0, 8_000.0, 0.003, -9.0, exponent=0.8),
        ),
        glide_depth=0.10,
        glide_s=0.035,
    )


LINE = tuple(line_drum(index) for index in range(len(LINE_HZ)))


def strike_concert(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke on the concert bass drum."""
    sound = beat_drum(CONCERT, CONCERT_HZ, velocity=stroke.level, rng=rng, shelf=shelf)
    return settled(sound, gain=db_to_ratio(CONCERT_GAIN_DB) * loudness(stroke.level))


def strike_line(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one stroke of the line: one drum, all five in unison, or a rim."""
    gain = db_to_ratio(LINE_GAIN_DB) * loudness(stroke.level)
    if stroke.technique == "unison":
        return _unison(stroke.level, rng, shelf, gain=0.6 * gain)
    if stroke.technique == "rim-click":
        return settled(rim_click(rng, shelf, velocity=stroke.level, size_hz=900.0), gain=gain)
    return settled(_one(stroke.pitch, stroke.level, rng, shelf), gain=gain)


def _one(index: int, velocity: float, rng: np.random.Generator, shelf: Shelf) -> Mono:
    return beat_drum(LINE[index], LINE_HZ[index], velocity=velocity, rng=rng, shelf=shelf)


def _unison(velocity: float, rng: np.random.Generator, shelf: Shelf, *, gain: float) -> Audio:
    late = np.abs(rng.normal(0.0, PLAYER_SD_S, len(LINE_HZ)))
    hits = [delayed(_one(index, velocity, rng, shelf), by_s=float(by)) for index, by in enumerate(late)]
    return placed([settled(hit, gain=gain)[:, 0] for hit in hits], LINE_PANS)


def _line_pan(pitch: int) -> float:
    return LINE_PANS[pitch]


VOICES_OF_FAMILY: tuple[Voice, ...] = (
    Voice("concert-bass-drum", strike_concert, FEW_LAYERS, variants=3, blends=True, restrike_s=1.0),
    Voice(
        "bass-drum-line",
        strike_line,
        LAYERS,
        variants=3,
        blends=True,
        timing_sd_s=0.005,
        pan=_line_pan,
        restrike_s=0.2,
    ),
)
