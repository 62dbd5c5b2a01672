"""Questions as the exercises ask them, without their sound: what is asked on what, and what is true.

No music is made for the season, so what an excerpt would decide (which bands and stems are on offer, which
bands a change moves) is taken from a table of where each part sounds. A rep code of the season decodes, and
rebuilds a rep of its exercise and size; where the excerpt has a say, the rep may ask about something else.
"""

from dataclasses import dataclass
from typing import TypeVar

from numpy.random import Generator

from exercises import compression, level
from trainer.ensemble.parts import PART_BY_KEY, SECTIONS, title_of
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.exercise import Exercise, Focus, Question, Scope
from trainer.practice.fields import BandField, DirectionField, WhichField
from trainer.practice.values import Value

T = TypeVar("T")

SOUNDS_AT_HZ: dict[str, tuple[float, ...]] = {
    "marimba": (125.0, 250.0, 500.0, 1000.0),
    "xylophone": (1000.0, 2000.0, 4000.0),
    "timpani": (63.0, 125.0, 250.0),
    "cymbals": (4000.0, 8000.0, 16000.0),
    "drum-set": (63.0, 125.0, 4000.0, 8000.0),
    "sub": (31.5, 63.0, 125.0),
    "narration": (250.0, 500.0, 1000.0, 2000.0, 4000.0),
    "snare-line": (500.0, 1000.0, 2000.0, 4000.0, 8000.0),
    "bass-drum-line": (63.0, 125.0, 250.0),
    "trumpets": (500.0, 1000.0, 2000.0, 4000.0),
    "baritones": (125.0, 250.0, 500.0),
    "tubas": (63.0, 125.0, 250.0),
}
"""The parts that stand out of the mix, and where they sound most (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One question of the season: what it was made from, what is true, the bands it counts for."""

    focus: Focus
    question: Question
    answer: dict[str, Value]
    bands: dict[float, float]


def asked(exercise: Exercise, rng: Generator) -> Asked:
    """Return a question of an exercise, its size drawn around the ladder's start as in a drill."""
    return _ASKED[exercise.key](exercise, exercise.ladder.around_start(rng), rng)


def _octave_tone(exercise: Exercise, size: float, rng: Generator) -> Asked:
    scope, direction = _scope(exercise, rng), _direction(rng)
    target = "mix"
    lanes: tuple[float, ...] = OCTAVE_SCALE.names_hz
    if scope != "mix":
        target = _one_of(candidates(scope), rng)
        lanes = bands_of(target)
    band_hz = float(_one_of(lanes, rng))
    focus = Focus(size, scope, band_hz if scope == "mix" else None, direction)
    text = f"In the {title_of(target)}: which octave band is boosted or cut?"
    question = Question(text, (BandField(lanes), DirectionField()), target, size, scope)
    answer: dict[str, Value] = {"band": band_hz, "direction": "boost" if direction == 1 else "cut"}
    return Asked(focus, question, answer, {band_hz: 1.0})


def _level(exercise: Exercise, size: float, rng: Generator) -> Asked:
    scope, direction = _scope(exercise, rng), _direction(rng)
    offered = candidates(scope)
    which = _one_of(offered, rng)
    fields = (WhichField(offered, title=str(scope)), DirectionField(("up", "down")), level.AMOUNT)
    question = Question(f"Which {scope} is up or down, and how far?", fields, "", size, scope)
    answer: dict[str, Value] = {
        "which": which,
        "direction": "up" if direction == 1 else "down",
        "amount": level.AMOUNT.nearest(size),
    }
    return Asked(Focus(size, scope, direction=direction), question, answer, _moved(which))


def _compression(exercise: Exercise, size: float, rng: Generator) -> Asked:
    scope = _scope(exercise, rng)
    offered = candidates(scope)
    which, speed = _one_of(offered, rng), _one_of(tuple(compression.PACES), rng)
    fields = (WhichField(offered, title=str(scope)), compression.SWING, compression.SPEED)
    question = Question(f"Which {scope} is compressed, how hard, and how fast?", fields, "", size, scope)
    answer: dict[str, Value] = {
        "which": which,
        "swing": compression.SWING.nearest(size),
        "speed": speed,
    }
    return Asked(Focus(size, scope), question, answer, _moved(which))


_ASKED = {"octave-tone": _octave_tone, "level": _level, "compression": _compression}
EXERCISES = tuple(_ASKED)


def candidates(scope: Scope) -> tuple[str, ...]:
    """Return the sections, or the stems, that stand out enough to be asked about."""
    if scope == "stem":
        return tuple(SOUNDS_AT_HZ)
    present = {PART_BY_KEY[part].section for part in SOUNDS_AT_HZ}
    return tuple(section.key for section in SECTIONS if section.key in present)


def bands_of(target: str) -> tuple[float, ...]:
    """Return the octave bands a section or a part sounds in, low to high."""
    found = {
        band_hz
        for part, bands in SOUNDS_AT_HZ.items()
        if target in (part, PART_BY_KEY[part].section)
        for band_hz in bands
    }
    return tuple(sorted(found))


def _moved(target: str) -> dict[float, float]:
    """Return the bands a change of the target counts for: all it sounds in, alike."""
    bands = bands_of(target)
    return dict.fromkeys(bands, 1.0 / len(bands))


def _scope(exercise: Exercise, rng: Generator) -> Scope:
    return exercise.scopes[int(rng.integers(len(exercise.scopes)))]


def _direction(rng: Generator) -> int:
    return 1 if rng.random() < 0.5 else -1


def _one_of(options: tuple[T, ...], rng: Generator) -> T:
    return options[int(rng.integers(len(options)))]
