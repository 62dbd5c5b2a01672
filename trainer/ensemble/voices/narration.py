"""The narration: syllables without words, vowels gliding into each other between hisses and pops.

Formants are the men's means of Peterson and Barney, "Control methods used in a study of the vowels", JASA 24
(1952), Table II; the source falls 6 dB an octave at the lips (glottal flow -12, radiation +6; from memory).
"""

import zlib
from dataclasses import dataclass

import numpy as np

from trainer.ensemble.voices import reading
from trainer.ensemble.voices.reading import Stereo
from trainer.ensemble.voices.section_tables import Floats
from trainer.ensemble.voices.sustained import LEVEL_EXPONENT, noise_pool, slice_of, without_dc
from trainer.ensemble.voices.voice import Audio, Shelf, Stroke, Voice, as_audio
from trainer.sound import RATE_HZ
from trainer.units import midi_to_hz

VOWELS_HZ: dict[str, tuple[float, float, float]] = {
    "heed": (270.0, 2290.0, 3010.0),
    "hid": (390.0, 1990.0, 2550.0),
    "head": (530.0, 1840.0, 2480.0),
    "had": (660.0, 1720.0, 2410.0),
    "hod": (730.0, 1090.0, 2440.0),
    "hawed": (570.0, 840.0, 2410.0),
    "hood": (440.0, 1020.0, 2240.0),
    "who'd": (300.0, 870.0, 2240.0),
    "hud": (640.0, 1190.0, 2390.0),
    "heard": (490.0, 1350.0, 1690.0),
}
"""The first three formants of each vowel, by the word Peterson and Barney had it read in."""

UPPER_FORMANTS_HZ = (3500.0, 4500.0)
BANDWIDTHS_HZ = (70.0, 90.0, 130.0, 220.0, 320.0)
RELEASE_S = 0.05
CYCLE_FRAMES = 16384
GLIDE_STEPS = 4


@dataclass(frozen=True, slots=True)
class Consonant:
    """A noise before the vowel: its band, how long it takes, its level beside the vowel's."""

    low_hz: float
    high_hz: float
    lasts_s: float
    level_db: float


CONSONANTS = (
    Consonant(4200.0, 9500.0, 0.085, -6.0),
    Consonant(1900.0, 6000.0, 0.075, -6.0),
    Consonant(2500.0, 7000.0, 0.018, -2.0),
    Consonant(900.0, 3500.0, 0.014, -5.0),
    Consonant(1000.0, 8000.0, 0.055, -15.0),
)
"""As in s, sh, t, k, f."""

INTONATIONS = {"plain": (0.6, -1.2), "stressed": (2.6, -0.6), "falling": (0.4, -5.5)}
"""Where each technique's pitch starts and ends beside the note, in semitones."""


@dataclass(frozen=True, slots=True)
class Syllable:
    """A consonant, and the vowels the syllable opens with and glides to."""

    consonant: Consonant
    opening: str
    closing: str


def syllable_of(stroke: Stroke) -> Syllable:
    """Return what a stroke says: it follows from the note, so that every take says the same."""
    said = f"{stroke.pitch} {stroke.length_s} {stroke.level} {stroke.technique}"
    rng = np.random.default_rng(zlib.crc32(said.encode()))
    vowels = list(VOWELS_HZ)
    opening, closing = (vowels[int(place)] for place in rng.integers(len(vowels), size=2))
    return Syllable(CONSONANTS[int(rng.integers(len(CONSONANTS)))], opening, closing)


def spoken(stroke: Stroke, rng: np.random.Generator, shelf: Shelf) -> Audio:
    """Return one syllable: float32 (frames, 2), DC-free, silent at its end."""
    frames = round((stroke.length_s + RELEASE_S) * RATE_HZ)
    time_s = reading.moments(frames)
    syllable = syllable_of(stroke)
    onset_s = min(syllable.consonant.lasts_s, 0.4 * stroke.length_s)
    vowel = _voiced(stroke, syllable, time_s, onset_s, frames)
    noise = _unvoiced(syllable.consonant, time_s, onset_s, frames, rng, shelf)
    fall = reading.drawn(_closing(time_s, stroke.length_s), frames)
    loudness = np.float32(0.2 * stroke.level**LEVEL_EXPONENT)
    note = (vowel * np.complex64(1 + 1j) + noise) * (fall * loudness)
    return as_audio(without_dc(note, fall * reading.drawn(np.minimum(time_s / 0.01, 1.0), frames)))


def tract_level_db(frequency_hz: Floats, formants_hz: tuple[float, ...]) -> Floats:
    """Return what the vocal tract makes of a flat source: five resonances in a row, and the source's fall."""
    total_db = -20.0 * np.log10(np.maximum(frequency_hz, 50.0) / 100.0)
    for formant_hz, width_hz in zip((*formants_hz, *UPPER_FORMANTS_HZ), BANDWIDTHS_HZ, strict=True):
        gap = (frequency_hz / formant_hz) ** 2
        total_db = total_db - 10.0 * np.log10((1.0 - gap) ** 2 + gap * (width_hz / formant_hz) ** 2)
    return np.asarray(total_db)


def _voiced(stroke: Stroke, syllable: Syllable, time_s: Floats, onset_s: float, frames: int) -> Audio:
    """Return the vowel: single cycles of four stages of the glide, cross-faded, read at the voice's pitch."""
    start, end = INTONATIONS[stroke.technique]
    progress = np.clip((time_s - onset_s) / max(stroke.length_s - onset_s, 0.05), 0.0, 1.0)
    semitones = start + (end - start) * progress
    f0_hz = midi_to_hz(stroke.pitch) * np.exp2(semitones / 12.0)
    cycles = np.concatenate([[0.0], np.cumsum((f0_hz[:-1] + f0_hz[1:]) * (reading.STEP / RATE_HZ / 2.0))])
    place = (reading.drawn_exactly(cycles, frames) * CYCLE_FRAMES).astype(np.int64) & (CYCLE_FRAMES - 1)
    glide = np.clip((progress - 0.25) / 0.55, 0.0, 1.0) * (GLIDE_STEPS - 1)
    voice = np.zeros(frames, np.float32)
    for step, cycle in enumerate(_stages(syllable, midi_to_hz(stroke.pitch))):
        weight = np.maximum(1.0 - np.abs(glide - step), 0.0)
        voice += cycle[place] * reading.drawn(weight, frames)
    rise = np.clip((time_s - onset_s) / 0.022, 0.0, 1.0)
    return voice * reading.drawn(np.sin(0.5 * np.pi * rise) ** 2 * (1.0 - 0.35 * progress), frames)


def _stages(syllable: Syllable, f0_hz: float) -> Audio:
    """Return single cycles of the stages from the opening vowel to the closing one, each of rms 1."""
    from scipy import fft

    opening, closing = np.array(VOWELS_HZ[syllable.opening]), np.array(VOWELS_HZ[syllable.closing])
    harmonics = np.arange(1.0, int(9000.0 / f0_hz))
    turned = np.exp(-0.5j * np.pi * np.sqrt(harmonics))
    spectrum = np.zeros((GLIDE_STEPS, CYCLE_FRAMES // 2 + 1), np.complex64)
    for stage, share in zip(spectrum, np.linspace(0.0, 1.0, GLIDE_STEPS), strict=True):
        formants_hz = tuple(opening * (1.0 - share) + closing * share)
        amplitude = 10.0 ** (tract_level_db(harmonics * f0_hz, formants_hz) / 20.0)
        stage[1 : len(harmonics) + 1] = amplitude / np.sqrt(0.5 * np.square(amplitude).sum()) * turned
    cycles = fft.irfft(spectrum, axis=1)
    cycles *= np.float32(CYCLE_FRAMES / 2)
    return np.asarray(cycles, np.float32)


def _unvoiced(
    consonant: Consonant,
    time_s: Floats,
    onset_s: float,
    frames: int,
    rng: np.random.Generator,
    shelf: Shelf,
) -> Stereo:
    pool = noise_pool("narration", shelf, low_hz=consonant.low_hz, high_hz=consonant.high_hz)
    rise = np.clip(time_s / min(0.012, onset_s / 3.0), 0.0, 1.0)
    past = np.clip((time_s - onset_s) / 0.025, 0.0, 1.0)
    shape = 10.0 ** (consonant.level_db / 20.0) * rise * (0.5 + 0.5 * np.cos(np.pi * past))
    return slice_of(pool, frames, rng) * reading.drawn(shape, frames)


def _closing(time_s: Floats, length_s: float) -> Floats:
    past = np.clip((time_s - length_s) / (RELEASE_S - reading.STEP / RATE_HZ), 0.0, 1.0)
    return np.asarray(0.5 + 0.5 * np.cos(np.pi * past))


VOICES_OF_FAMILY = (
    Voice(
        "narration",
        spoken,
        layers=(0.4, 0.6, 0.8),
        variants=2,
        lengths_s=(0.12, 0.16, 0.2, 0.26, 0.34, 0.5),
        timing_sd_s=0.0,
    ),
)
