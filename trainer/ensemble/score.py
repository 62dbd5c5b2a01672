"""A score: the notes of one loop of music, whatever wrote them (the composer, a MIDI file) and whoever plays."""

from dataclasses import dataclass

from trainer.ensemble.parts import PART_BY_KEY


@dataclass(frozen=True, slots=True)
class Note:
    """One note of one part.

    ``pitch`` is a MIDI note number, or for a part with drums the drum's index (0 = the lowest);
    ``velocity`` runs from 0 (silent) to 1 (fff). Notes may ring past the end of the loop: they wrap.
    """

    part: str
    start_beat: float
    length_beats: float
    pitch: int
    velocity: float
    technique: str = "plain"


@dataclass(frozen=True, slots=True)
class Score:
    """One loop of music: whole bars at one tempo, and its notes in order of their start."""

    title: str
    tempo_bpm: float
    beats_per_bar: int
    bars: int
    notes: tuple[Note, ...]

    def __post_init__(self) -> None:
        for note in self.notes:
            _check(note, self.beats)

    @property
    def beats(self) -> int:
        """The length of the loop in beats."""
        return self.bars * self.beats_per_bar

    @property
    def duration_s(self) -> float:
        """The length of the loop in seconds at the score's tempo."""
        return self.beats * 60.0 / self.tempo_bpm

    @property
    def parts(self) -> tuple[str, ...]:
        """The parts that play, in the ensemble's order."""
        playing = {note.part for note in self.notes}
        return tuple(key for key in PART_BY_KEY if key in playing)

    def notes_of(self, part: str) -> tuple[Note, ...]:
        """Return one part's notes in order of their start."""
        return tuple(note for note in self.notes if note.part == part)


def _check(note: Note, beats: int) -> None:
    part = PART_BY_KEY.get(note.part)
    if part is None:
        raise ValueError(f"there is no part {note.part!r} in the ensemble")
    if not 0.0 <= note.start_beat < beats:
        raise ValueError(f"a {part.title} note starts at beat {note.start_beat}, outside a loop of {beats}")
    if note.length_beats <= 0.0 or not 0.0 < note.velocity <= 1.0:
        raise ValueError(f"a {part.title} note has length {note.length_beats}, velocity {note.velocity}")
    if note.technique != "plain" and note.technique not in part.techniques:
        raise ValueError(f"the {part.title} has no technique {note.technique!r}")
    if part.drums and not 0 <= note.pitch < len(part.drums):
        raise ValueError(f"the {part.title} has no drum {note.pitch}")
