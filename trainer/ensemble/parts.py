"""The parts of the ensemble: twenty stems in five sections, their drums and techniques, three line-ups."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Section:
    """A group of stems, as they stand on the field."""

    key: str
    title: str


@dataclass(frozen=True, slots=True)
class Part:
    """One instrument's track in the ensemble.

    ``drums`` names what the pitch of a note means where it is an index instead of a MIDI note number (from
    the lowest drum up); ``techniques`` are the ways a note of this part can be played beside ``plain``.
    """

    key: str
    title: str
    section: str
    drums: tuple[str, ...] = ()
    techniques: tuple[str, ...] = ()


SECTIONS: tuple[Section, ...] = (
    Section("front-ensemble", "front ensemble"),
    Section("electronics", "electronics"),
    Section("battery", "battery"),
    Section("brass", "brass"),
    Section("woodwinds", "woodwinds"),
)

PARTS: tuple[Part, ...] = (
    Part("marimba", "marimba", "front-ensemble"),
    Part("vibraphone", "vibraphone", "front-ensemble", techniques=("damped",)),
    Part("xylophone", "xylophone", "front-ensemble"),
    Part("glockenspiel", "glockenspiel", "front-ensemble"),
    Part("timpani", "timpani", "front-ensemble", techniques=("damped",)),
    Part("concert-bass-drum", "concert bass drum", "front-ensemble", ("bass drum",), ("damped",)),
    Part("cymbals", "cymbals", "front-ensemble", ("suspended", "crash", "splash"), ("choked",)),
    Part(
        "drum-set", "drum set", "front-ensemble",
        ("kick", "floor tom", "rack tom", "snare", "closed hat", "open hat", "ride", "crash"),
        ("cross-stick",),
    ),
    Part("bass-guitar", "bass guitar", "electronics", techniques=("muted",)),
    Part("synth-pad", "synth pad", "electronics"),
    Part("sub", "sub", "electronics", techniques=("drop",)),
    Part("narration", "narration", "electronics", techniques=("stressed", "falling")),
    Part("snare-line", "snare line", "battery", ("snare",), ("rim-shot", "flam", "buzz", "cross-stick")),
    Part(
        "tenor-line", "tenor line", "battery",
        ("drum 4", "drum 3", "drum 2", "drum 1", "spock"), ("rim-shot", "flam"),
    ),
    Part(
        "bass-drum-line", "bass drum line", "battery",
        ("drum 5", "drum 4", "drum 3", "drum 2", "drum 1"), ("unison", "rim-click"),
    ),
    Part("trumpets", "trumpets", "brass", techniques=("scoop", "slurred", "accented")),
    Part("mellophones", "mellophones", "brass", techniques=("scoop", "slurred", "accented")),
    Part("baritones", "baritones", "brass", techniques=("scoop", "slurred", "accented")),
    Part("tubas", "tubas", "brass", techniques=("slurred", "accented")),
    Part("woodwinds", "woodwinds", "woodwinds", techniques=("slurred", "trill")),
)  # fmt: skip

PART_BY_KEY = {part.key: part for part in PARTS}
SECTION_BY_KEY = {section.key: section for section in SECTIONS}
WINDS = ("trumpets", "mellophones", "baritones", "tubas", "woodwinds")


@dataclass(frozen=True, slots=True)
class LineUp:
    """Which parts a kind of ensemble fields."""

    key: str
    title: str
    parts: tuple[str, ...]


def _without(*left_out: str) -> tuple[str, ...]:
    return tuple(part.key for part in PARTS if part.key not in left_out)


LINE_UPS: tuple[LineUp, ...] = (
    LineUp("field-show", "field show", _without()),
    LineUp("indoor-percussion", "indoor percussion", _without(*WINDS)),
    LineUp("marching-band", "marching band", _without("synth-pad", "sub", "narration")),
)
LINE_UP_BY_KEY = {line_up.key: line_up for line_up in LINE_UPS}


def title_of(key: str) -> str:
    """Return the words for a part, a section or the mix."""
    if key == "mix":
        return "mix"
    named: Part | Section = PART_BY_KEY[key] if key in PART_BY_KEY else SECTION_BY_KEY[key]
    return named.title
