"""Rep codes: a rep as a short text that rebuilds it anywhere, and gives nothing away to the eye.

``octave-tone.field-show.7KQ2-N4XT-…``: the exercise, the show, and ten bytes in base 32 (RFC 4648 alphabet):
the seed, the size and what the rep is about (under a mask made from the seed), and a check of the whole.
Where the listening setup cannot play all octave bands there are two bytes more, which say which it can.
"""

import base64
import binascii
import hashlib
import struct
from dataclasses import dataclass, replace

from trainer.dsp.octave_bands import NOMINAL_HZ
from trainer.practice.exercise import SCOPES, Focus
from trainer.practice.listening import FEWEST_LANES
from trainer.refusal import Refused

SIZE_DECIMALS = 2
MOST_SEED = 2**32 - 1
EDITION = 2
"""Goes up when the same code would sound another way; a code of another edition is refused."""

_SCOPES = (None, *SCOPES)
_BANDS = (None, *NOMINAL_HZ)
_DIRECTIONS = (None, 1, -1)
_LAYOUT = struct.Struct(">IHBB")
_USABLE = struct.Struct(">H")
_LENGTHS = (_LAYOUT.size, _LAYOUT.size + _USABLE.size)


@dataclass(frozen=True, slots=True)
class RepSpec:
    """All that a rep is made from; its size is taken to the hundredth, as a code can hold it."""

    exercise: str
    show: str
    seed: int
    focus: Focus

    def __post_init__(self) -> None:
        check_seed(self.seed)
        object.__setattr__(self, "focus", replace(self.focus, size=round(self.focus.size, SIZE_DECIMALS)))


def check_seed(seed: int) -> int:
    """Return the seed if it is one; `Refused` if it is out of range."""
    if not 0 <= seed <= MOST_SEED:
        raise Refused(f"a seed of {seed} is out of range: seeds run from 0 to {MOST_SEED}")
    return seed


def encode(spec: RepSpec) -> str:
    """Return the code of a rep."""
    focus = spec.focus
    about = _SCOPES.index(focus.scope) + 4 * _DIRECTIONS.index(focus.direction)
    packed = _LAYOUT.pack(
        spec.seed,
        round(focus.size * 10**SIZE_DECIMALS),
        16 * EDITION + about,
        _BANDS.index(focus.band_hz),
    )
    packed += _packed_bands(focus.usable_hz)
    masked = packed[:4] + _masked(packed[4:], seed=packed[:4])
    text = _letters(masked + _check(masked, spec.exercise, spec.show))
    return ".".join((spec.exercise, spec.show, "-".join(text[i : i + 4] for i in range(0, len(text), 4))))


def decode(code: str) -> RepSpec:
    """Return what a code stands for.

    Raises
    ------
    Refused
        If it is no rep code, was mistyped, or belongs to another edition of the program.
    """
    exercise, dot, rest = code.strip().partition(".")
    show, second_dot, text = rest.rpartition(".")
    if not (dot and second_dot):
        raise Refused(f"{code!r} is no rep code: one looks like octave-tone.field-show.XXXX-XXXX-XXXX-XXXX")
    both = _bytes_of(text.replace("-", "").upper())
    masked, check = both[:-2], both[-2:]
    is_whole = len(masked) in _LENGTHS and check == _check(masked, exercise, show)
    packed = masked[:4] + _masked(masked[4:], seed=masked[:4]) if is_whole else b""
    usable_hz = _unpacked_bands(packed[_LAYOUT.size :])
    if not (is_whole and usable_hz):
        raise Refused(f"the rep code {code!r} was mistyped somewhere: its letters do not fit together")
    seed, size, about, band = _LAYOUT.unpack(packed[: _LAYOUT.size])
    if about // 16 != EDITION:
        raise Refused(
            f"the rep code {code!r} was made by another version of Yardline (edition {about // 16} of the codes, "
            f"this one makes {EDITION}): the same code would sound another way here"
        )
    focus = Focus(
        size=size / 10**SIZE_DECIMALS,
        scope=_SCOPES[about % 4],
        band_hz=_BANDS[band],
        direction=_DIRECTIONS[about % 16 // 4],
        usable_hz=usable_hz,
    )
    return RepSpec(exercise=exercise, show=show, seed=seed, focus=focus)


def _packed_bands(usable_hz: tuple[float, ...]) -> bytes:
    """Return two bytes with a bit for each usable band, or nothing where all bands are usable."""
    if usable_hz == NOMINAL_HZ:
        return b""
    return _USABLE.pack(sum(1 << NOMINAL_HZ.index(band_hz) for band_hz in usable_hz))


def _unpacked_bands(packed: bytes) -> tuple[float, ...]:
    """Return the usable bands, or nothing where these bytes say none that a code is made with."""
    if not packed:
        return NOMINAL_HZ
    (bits,) = _USABLE.unpack(packed)
    usable_hz = tuple(band_hz for place, band_hz in enumerate(NOMINAL_HZ) if bits >> place & 1)
    is_made_so = len(usable_hz) >= FEWEST_LANES and _packed_bands(usable_hz) == packed
    return usable_hz if is_made_so else ()


def _letters(data: bytes) -> str:
    return base64.b32encode(data).decode("ascii").rstrip("=")


def _bytes_of(letters: str) -> bytes:
    """Return the bytes that these letters stand for, and nothing where they are not what bytes are written as."""
    try:
        data = base64.b32decode(letters + "=" * (-len(letters) % 8))
    except (binascii.Error, ValueError):
        return b""
    return data if _letters(data) == letters else b""


def _masked(data: bytes, *, seed: bytes) -> bytes:
    """Return the data under the seed's mask; masking twice gives it back."""
    mask = hashlib.blake2b(seed, digest_size=len(data), person=b"yardline rep").digest()
    return bytes(byte ^ over for byte, over in zip(data, mask, strict=True))


def _check(masked: bytes, exercise: str, show: str) -> bytes:
    named = f"{exercise}.{show}.".encode()
    return hashlib.blake2b(named + masked, digest_size=2).digest()
