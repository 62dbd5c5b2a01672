"""Rep codes: a rep as a short text that rebuilds it anywhere, and gives nothing away to the eye.

``octave-tone.field-show.7KQ2-N4XT-…``: the exercise, the show, and ten bytes in base 32 (RFC 4648 alphabet):
the seed, the size and what the rep is about (under a mask made from the seed), and a check of the whole.
Where another listening is assumed than the standard one there are three bytes more, for the level and the octave bands
that can be played, and ten more where there are thresholds of the learner's own.
"""

import base64
import binascii
import hashlib
import struct
from dataclasses import dataclass, replace

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.exercise import SCOPES, Focus
from trainer.practice.listening import STANDARD, Listening
from trainer.refusal import Refused

SIZE_DECIMALS = 2
MOST_SEED = 2**32 - 1
EDITION = 3
"""Goes up when the same code would sound another way; a code of another edition is refused."""

_SCOPES = (None, *SCOPES)
_BANDS = (None, *OCTAVE_SCALE.names_hz)
_DIRECTIONS = (None, 1, -1)
_LAYOUT = struct.Struct(">IHBB")
_LISTENED = struct.Struct(">BH")
_THRESHOLDS = struct.Struct(f"{len(OCTAVE_SCALE)}b")
_LISTENED_LENGTHS = (0, _LISTENED.size, _LISTENED.size + _THRESHOLDS.size)
_OLD_LISTENED_LENGTH = 2
"""Of codes up to edition 2: they are known, to be refused as what they are."""
_LENGTHS = tuple(_LAYOUT.size + more for more in (*_LISTENED_LENGTHS, _OLD_LISTENED_LENGTH))


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
    packed += _packed_listening(focus.listening)
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
    if not is_whole:
        raise Refused(f"the rep code {code!r} was mistyped somewhere: its letters do not fit together")
    seed, size, about, band = _LAYOUT.unpack(packed[: _LAYOUT.size])
    if about // 16 != EDITION:
        raise Refused(
            f"the rep code {code!r} was made by another version of Yardline (edition {about // 16} of the codes, "
            f"this one makes {EDITION}): the same code would sound another way here"
        )
    listening = _unpacked_listening(packed[_LAYOUT.size :])
    if listening is None or band >= len(_BANDS) or about % 16 // 4 >= len(_DIRECTIONS):
        raise Refused(f"the rep code {code!r} was mistyped somewhere: its letters do not fit together")
    focus = Focus(
        size=size / 10**SIZE_DECIMALS,
        scope=_SCOPES[about % 4],
        band_hz=_BANDS[band],
        direction=_DIRECTIONS[about % 16 // 4],
        listening=listening,
    )
    return RepSpec(exercise=exercise, show=show, seed=seed, focus=focus)


def _packed_listening(listening: Listening) -> bytes:
    """Return the bytes of a listening; nothing of the standard one."""
    if listening == STANDARD:
        return b""
    bits = sum(1 << OCTAVE_SCALE.place(band_hz) for band_hz in listening.usable_hz)
    packed = _LISTENED.pack(round(listening.level_db_spl), bits)
    return packed + (
        _THRESHOLDS.pack(*map(round, listening.thresholds_db_spl)) if listening.thresholds_db_spl else b""
    )


def _unpacked_listening(packed: bytes) -> Listening | None:
    """Return the listening of its bytes; None where they are those of none that a code is made with."""
    if not packed:
        return STANDARD
    if len(packed) not in _LISTENED_LENGTHS:
        return None
    level_db_spl, bits = _LISTENED.unpack(packed[: _LISTENED.size])
    thresholds = packed[_LISTENED.size :]
    usable_hz = (band_hz for place, band_hz in enumerate(OCTAVE_SCALE.names_hz) if bits >> place & 1)
    try:
        listening = Listening(
            level_db_spl, tuple(usable_hz), _THRESHOLDS.unpack(thresholds) if thresholds else ()
        )
    except Refused:
        return None
    return listening if _packed_listening(listening) == packed else None


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
