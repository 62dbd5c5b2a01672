"""Loudness and true peak: ITU-R BS.1770-5 with the gates of EBU R 128, for a sound or for an endless loop."""

import math

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from trainer.dsp.level import sample_peak
from trainer.sound import Samples, Sound
from trainer.units import db_to_ratio, ratio_to_db, seconds_to_frames

CALIBRATION_DB = -0.691
ABSOLUTE_GATE_LUFS = -70.0
RELATIVE_GATE_LU = -10.0
HOP_S = 0.1
MOMENTARY_HOPS = 4
SHORT_TERM_HOPS = 30
RUN_IN_S = 0.4
"""What a loop's end adds before its start; the slowest pole then is down to 1e-20."""

SURROUND_WEIGHT = 1.41
WEIGHTS = {1: (1.0,), 2: (1.0, 1.0), 3: (1.0, 1.0, 1.0), 5: (1.0, 1.0, 1.0, SURROUND_WEIGHT, SURROUND_WEIGHT)}
"""By number of channels: mono; left, right; with centre; with two surrounds."""

OVERSAMPLING = 4
_REACH = 10
"""Frames to either side that the interpolation looks at."""

_BLOCK = 16


def integrated_loudness_lufs(sound: Sound, *, loop: bool = False) -> float:
    """Return the gated loudness of a sound, ``-inf`` where nothing passes the gates.

    Parameters
    ----------
    loop
        Measure the sound played round and round: the filters have settled, and blocks run over the end
        into the start. The steps of 100 ms are stretched a little, so that a whole number of them fits.

    Raises
    ------
    ValueError
        If the sound is shorter than a block of 400 ms, holds a value that is no number, or has a number
        of channels without weights.
    """
    powers = _block_powers(sound, hops=MOMENTARY_HOPS, loop=loop)
    heard = powers[_lufs(powers) > ABSOLUTE_GATE_LUFS]
    if heard.size == 0:
        return -math.inf
    gate_lufs = float(_lufs(heard.mean())) + RELATIVE_GATE_LU
    return float(_lufs(heard[_lufs(heard) > gate_lufs].mean()))


def momentary_loudness_lufs(sound: Sound) -> NDArray[np.float64]:
    """Return the loudness of windows of 400 ms, one every 100 ms, not gated."""
    return _lufs(_block_powers(sound, hops=MOMENTARY_HOPS, loop=False))


def short_term_loudness_lufs(sound: Sound) -> NDArray[np.float64]:
    """Return the loudness of windows of 3 s, one every 100 ms, not gated."""
    return _lufs(_block_powers(sound, hops=SHORT_TERM_HOPS, loop=False))


def true_peak_dbtp(sound: Sound, *, loop: bool = False, at_least_dbtp: float = -math.inf) -> float:
    """Return the greatest magnitude of the sound between its samples too, dB below full scale.

    Parameters
    ----------
    loop
        Let the end go on into the start; otherwise silence surrounds the sound.
    at_least_dbtp
        Peaks below this are of no interest: it is returned where there is none above (and found sooner).

    Notes
    -----
    Four times oversampled by a windowed sinc. Blocks that cannot hold the peak (their greatest sample
    times the interpolation's greatest gain does not reach what was found) are passed over; the result is
    the same as without.
    """
    greatest = sample_peak(sound)
    if not math.isfinite(greatest):
        raise ValueError("a sound with values that are no numbers has no true peak")
    greatest = max(greatest, db_to_ratio(at_least_dbtp))
    if sound.frames == 0 or greatest == 0.0:
        return -math.inf
    return ratio_to_db(max(_peak_between(channel, greatest, loop) for channel in sound.samples.T))


def k_weighting(rate_hz: int) -> NDArray[np.float64]:
    """Return the two second-order sections of the K weighting at any sample rate.

    Notes
    -----
    The recommendation prints coefficients for 48 kHz only. These come from the analogue filters behind
    them (a shelf of 4 dB at 1682 Hz, a high-pass at 38 Hz), and equal the printed ones there.
    """
    return np.array([_shelf(rate_hz), _high_pass(rate_hz)])


def _shelf(rate_hz: int) -> list[float]:
    tangent = math.tan(math.pi * 1681.974450955533 / rate_hz)
    quality = 0.7071752369554196
    high = 10.0 ** (3.999843853973347 / 20.0)
    middle = high**0.4996667741545416
    slope, square = tangent / quality, tangent * tangent
    numerator = [high + middle * slope + square, 2.0 * (square - high), high - middle * slope + square]
    return _normalised(numerator, tangent, quality)


def _high_pass(rate_hz: int) -> list[float]:
    tangent = math.tan(math.pi * 38.13547087602444 / rate_hz)
    section = _normalised([1.0, -2.0, 1.0], tangent, 0.5003270373238773)
    return [1.0, -2.0, 1.0, *section[3:]]


def _normalised(numerator: list[float], tangent: float, quality: float) -> list[float]:
    slope, square = tangent / quality, tangent * tangent
    denominator = [1.0 + slope + square, 2.0 * (square - 1.0), 1.0 - slope + square]
    return [value / denominator[0] for value in numerator + denominator]


def _lufs(power: NDArray[np.float64] | float) -> NDArray[np.float64]:
    with np.errstate(divide="ignore"):
        return np.asarray(CALIBRATION_DB + 10.0 * np.log10(power))


def _block_powers(sound: Sound, *, hops: int, loop: bool) -> NDArray[np.float64]:
    """Return the weighted mean square of each block of so many hops."""
    if sound.channels not in WEIGHTS:
        raise ValueError(f"loudness is defined for {sorted(WEIGHTS)} channels, not {sound.channels}")
    if sound.frames < round(hops * HOP_S * sound.rate_hz):
        raise ValueError(f"loudness needs {hops * HOP_S:g} s of sound, not {sound.duration_s:.3f} s")
    edges = _hop_edges(sound, loop=loop)
    energies = _hop_energies(sound, edges, run_in=seconds_to_frames(RUN_IN_S, sound.rate_hz) if loop else 0)
    lengths = np.diff(edges).astype(np.float64)
    if loop:
        energies, lengths = (
            np.resize(energies, energies.size + hops - 1),
            np.resize(lengths, lengths.size + hops - 1),
        )
    ones = np.ones(hops)
    return np.convolve(energies, ones, "valid") / np.convolve(lengths, ones, "valid")


def _hop_edges(sound: Sound, *, loop: bool) -> NDArray[np.intp]:
    """Return where the hops begin and end; a loop is divided evenly, of a sound the rest is left over."""
    hop = HOP_S * sound.rate_hz
    if loop:
        return np.round(np.linspace(0, sound.frames, round(sound.frames / hop) + 1)).astype(np.intp)
    return np.arange(0, sound.frames + 1, round(hop))


def _hop_energies(sound: Sound, edges: NDArray[np.intp], *, run_in: int) -> NDArray[np.float64]:
    """Return the K-weighted energy of each hop, channels weighted and summed."""
    from scipy import signal

    samples = sound.samples
    if run_in:
        samples = np.concatenate([samples[np.arange(-run_in, 0) % sound.frames], samples])
    numerator, denominator = signal.sos2tf(k_weighting(sound.rate_hz))
    weighted = signal.lfilter(numerator, denominator, np.ascontiguousarray(samples.T))[:, run_in:]
    np.square(weighted, out=weighted)
    sums = np.add.reduceat(weighted[:, : edges[-1]], edges[:-1], axis=1)
    energies = np.asarray(WEIGHTS[sound.channels]) @ sums
    if not np.isfinite(energies).all():
        raise ValueError("a sound with values that are no numbers has no loudness")
    return energies


def _interpolation() -> Samples:
    """Return the taps that give the three points between two frames, shape ``(2 * reach, 3)``."""
    from scipy import signal

    taps = signal.firwin(2 * _REACH * OVERSAMPLING + 1, 1.0 / OVERSAMPLING, window=("kaiser", 5.0))
    phases = [OVERSAMPLING * taps[phase::OVERSAMPLING][: 2 * _REACH] for phase in (3, 2, 1)]
    return np.array(phases, dtype=np.float32).T


def _block_matrix() -> Samples:
    """Return the interpolation of a whole block as a matrix: the frames it needs to the points it makes."""
    taps = _interpolation()
    matrix = np.zeros((_BLOCK + 2 * _REACH - 1, _BLOCK, taps.shape[1]), np.float32)
    for frame in range(_BLOCK):
        matrix[frame : frame + 2 * _REACH, frame] = taps
    return matrix.reshape(matrix.shape[0], -1)


def _peak_between(channel: Samples, found: float, loop: bool) -> float:
    """Return the greatest of what was found and the interpolated points of a channel."""
    matrix = _block_matrix()
    padded = _surrounded(channel, loop)
    windows = sliding_window_view(padded, matrix.shape[0])[::_BLOCK]
    bounds = _block_peaks(padded, len(windows)) * np.abs(matrix).sum(axis=0).max()
    promising = np.flatnonzero(bounds > found)
    best_first = promising[np.argsort(bounds[promising])[::-1][:32]]
    for chosen in (best_first, promising):
        still = chosen[bounds[chosen] > found]
        if still.size:
            found = max(found, float(np.abs(windows[still] @ matrix).max()))
    return found


def _surrounded(channel: Samples, loop: bool) -> Samples:
    """Return a channel with what comes before and after it, in whole blocks."""
    after = _REACH + -channel.size % _BLOCK + _BLOCK
    return np.pad(channel, (_REACH, after), mode="wrap" if loop else "constant")


def _block_peaks(padded: Samples, blocks: int) -> Samples:
    """Return the greatest magnitude among the frames each block looks at (a few more, to be quick)."""
    whole = -(-padded.size // _BLOCK) * _BLOCK
    peaks = np.pad(np.abs(padded), (0, whole - padded.size + 2 * _BLOCK))
    for _ in range(int(math.log2(_BLOCK))):
        peaks = np.maximum(peaks[::2], peaks[1::2])
    return np.asarray(np.maximum(np.maximum(peaks[:blocks], peaks[1 : blocks + 1]), peaks[2 : blocks + 2]))
