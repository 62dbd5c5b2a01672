"""How too much or too little of an octave band sounds in a marching ensemble (common practice, no source)."""

from dataclasses import dataclass

from trainer.dsp.octave_bands import octave
from trainer.practice.band_scale import band_label


@dataclass(frozen=True, slots=True)
class Clauses:
    """What is said of a band that is too strong, and of one that is too weak."""

    strong: str
    weak: str


CLAUSES: dict[float, Clauses] = {
    31.5: Clauses(
        "rumbly: the subs never quite stop, and the stands shake",
        "small: a sub drop is heard but no longer felt",
    ),
    63.0: Clauses(
        "boomy: every bass drum stroke hangs on into the next",
        "light: the bass drum line has lost its weight",
    ),
    125.0: Clauses(
        "thick: tubas and bass guitar run into each other",
        "rootless: the brass chords have no floor to stand on",
    ),
    250.0: Clauses(
        "muddy: the synth pad lies on the marimba like a wet coat",
        "thin: marimba and baritones are all edge and no wood",
    ),
    500.0: Clauses(
        "boxy: mallets as if heard through a door",
        "hollow: the low brass has a bottom and a top but no middle",
    ),
    1000.0: Clauses(
        "nasal: the narration might come from a megaphone",
        "distant: mellophones and voice step back from you",
    ),
    2000.0: Clauses(
        "hard: trumpets poke at the ear and marimbas clack",
        "soft-spoken: mallets lose their knock, words their shape",
    ),
    4000.0: Clauses(
        "harsh: snares and xylophone tire you within a minute",
        "blurred: snare sticking and consonants no longer read",
    ),
    8000.0: Clauses(
        "splashy: each s of the narration spits, each cymbal sizzles",
        "dull: the cymbals seem to be played under a cloth",
    ),
    16000.0: Clauses(
        "hissy: microphone noise and cymbal spray float on top",
        "closed in: cymbals and glockenspiel have no air above them",
    ),
}
"""Octave band, nominal hertz, to its clauses."""

_SENTENCES = {"boost": "{} too strong sounds {}.", "cut": "{} too weak sounds {}."}


def sounds_like(band_hz: float, direction: str) -> str:
    """Return a sentence on how a band sounds that is too strong (``boost``) or too weak (``cut``).

    Raises
    ------
    ValueError
        If there is no such octave band, or the direction is neither boost nor cut.
    """
    clauses = CLAUSES[octave(band_hz).nominal_hz]
    if direction not in _SENTENCES:
        raise ValueError(f"a band's direction is boost or cut, not {direction!r}")
    clause = clauses.strong if direction == "boost" else clauses.weak
    return _SENTENCES[direction].format(band_label(band_hz), clause)
