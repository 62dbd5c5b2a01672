"""The mixdown: where every part stands in the mix, and the bus that sums them and lets the room answer.

Every strip is static: a part's loudness hardly varies from score to score, so nothing is measured while
mixing. The gains come from ``calibration.py``. Because the bus is linear, a mix with a few changed stems is
the plain mix plus the bus of their differences.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from trainer.dsp.dynamics import hold_peaks
from trainer.ensemble.loop import Placement
from trainer.ensemble.rooms import Room, reverberate
from trainer.ensemble.voices.voice import Audio
from trainer.sound import RATE_HZ, Sound
from trainer.units import db_to_ratio

MIX_LUFS = -21.5
"""What the strips' loudness is counted from; a field show's full mix comes out near -20 LUFS."""


@dataclass(frozen=True, slots=True)
class Strip:
    """One part's channel strip.

    ``loudness_lu`` is what it should read beside the others in the mix (common practice, no source);
    ``gain_db`` brings its voice there; ``pan`` runs from -1 (left) to 1; ``width`` scales its own stereo
    picture; ``send_db`` is what goes to the room beside what stays dry. ``peak_dbfs`` is where its limiter
    catches the hardest strokes, so that a tutti leaves the mix some headroom.
    """

    part: str
    loudness_lu: float
    gain_db: float
    pan: float
    width: float
    send_db: float
    peak_dbfs: float


STRIPS: dict[str, Strip] = {
    strip.part: strip
    for strip in (
        #     part                   LU   gain    pan width  send   peak
        Strip("marimba",            -12.0, -15.9, -0.25, 0.9,  -9.0, -17.5),
        Strip("vibraphone",         -14.0, -19.0,  0.25, 0.9,  -9.0, -17.5),
        Strip("xylophone",          -13.0,  -6.4, -0.40, 0.7, -12.0, -17.5),
        Strip("glockenspiel",       -16.0, -17.9,  0.40, 0.7, -12.0, -17.5),
        Strip("timpani",            -14.0, -11.2,  0.30, 0.8, -12.0, -17.5),
        Strip("concert-bass-drum",  -15.0,  -10.0,  0.10, 0.6, -15.0, -17.5),
        Strip("cymbals",            -12.5, -13.1, -0.10, 1.0, -12.0, -17.5),
        Strip("drum-set",           -12.0,  -7.5,  0.05, 0.9, -15.0, -17.5),
        Strip("bass-guitar",        -13.5, -15.9,  0.00, 0.5, -24.0, -17.5),
        Strip("synth-pad",          -17.0, -28.1,  0.00, 1.2, -12.0,  -13.0),
        Strip("sub",                -16.5, -18.7,  0.00, 0.0, -24.0,  -13.0),
        Strip("narration",          -14.0, -14.9,  0.00, 0.5, -15.0,  -13.0),
        Strip("snare-line",         -11.0,  -3.8,  0.00, 1.0, -12.0, -17.5),
        Strip("tenor-line",         -13.5, -12.4, -0.20, 1.0, -12.0, -17.5),
        Strip("bass-drum-line",      -9.0,  -4.3,  0.15, 1.0, -12.0, -17.5),
        Strip("trumpets",            -4.5, -16.9, -0.15, 1.0,  -5.0,  -13.0),
        Strip("mellophones",        -12.0, -21.7,  0.20, 1.0,  -5.0,  -13.0),
        Strip("baritones",          -13.0, -22.2, -0.20, 1.0,  -5.0,  -13.0),
        Strip("tubas",              -14.5, -19.4,  0.10, 0.8,  -9.0,  -13.0),
        Strip("woodwinds",          -15.0, -21.6,  0.35, 1.0,  -7.0,  -13.0),
    )
}  # fmt: skip


def placement_of(strip: Strip) -> Placement:
    """Return a strip's gain, balance and width."""
    return Placement.of(gain=db_to_ratio(strip.gain_db), pan=strip.pan, width=strip.width)


def held(stem: Audio, strip: Strip) -> Sound:
    """Return a placed part, its hardest strokes limited (in place).

    Limited strokes leave a little DC, since their two halves differ; it is taken off.
    """
    hold_peaks(stem, ceiling=db_to_ratio(strip.peak_dbfs), rate_hz=RATE_HZ)
    line = stem.view(np.complex64)[:, 0]
    line -= line.mean()
    return Sound(stem)


def bus(stems: Mapping[str, Sound], room: Room) -> Sound:
    """Return what some stems contribute to the mix: their sum, and what the room makes of their sends."""
    dry: Audio | None = None
    send: Audio | None = None
    for send_db, sounds in _by_send(stems).items():
        group = _sum_of(sounds)
        sent = group * np.float32(db_to_ratio(send_db))
        dry = group if dry is None else np.add(dry, group, out=dry)
        send = sent if send is None else np.add(send, sent, out=send)
    if dry is None or send is None:
        raise ValueError("a mix needs at least one stem")
    if room.adds_sound:
        dry += reverberate(send, room)
    return Sound(dry)


def difference(changed: Sound, plain: Sound) -> Sound:
    """Return what was added to a sound to change it."""
    return Sound(changed.samples - plain.samples)


def _by_send(stems: Mapping[str, Sound]) -> dict[float, list[Sound]]:
    """Group the stems by how much of them goes to the room: one sum a group is all the bus needs."""
    groups: dict[float, list[Sound]] = {}
    for part, sound in stems.items():
        groups.setdefault(STRIPS[part].send_db, []).append(sound)
    return groups


def _sum_of(sounds: Iterable[Sound]) -> Audio:
    first, *others = sounds
    total = first.samples.copy()
    for sound in others:
        total += sound.samples
    return total
