"""The tour: every stem, every section, the mix in three rooms, and faults to be heard; one stop at a time."""

from collections.abc import Iterator
from dataclasses import dataclass

from audio_demo.examples import EXAMPLES, Example, made
from trainer.dsp.level import gain
from trainer.dsp.loudness import integrated_loudness_lufs, true_peak_dbtp
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import PARTS, SECTIONS, title_of
from trainer.ensemble.rooms import DRY, GYM, STADIUM, Room
from trainer.ensemble.shows import DEMO_ENSEMBLE, Show
from trainer.practice.catalogue import Catalogue
from trainer.practice.fairness import CEILING_DBTP, PROGRAMME_LUFS
from trainer.sound import Sound

SHOW = "tide-tables"
SEED = 1
"""The excerpt the tour goes through: 9 s in G dorian at 109 to the minute, in which every part plays."""
EXCERPTS_TRIED = 8
"""How many excerpts, from the tour's own on, are tried for an example."""
ROOMS: tuple[tuple[Room, str], ...] = (
    (GYM, "hard walls close by: it rings for two seconds, low notes longest."),
    (STADIUM, "the stands answer late, from far off; in between it is dry."),
    (DRY, "hardly any room: what the players do is all there is to hear."),
)
COUNT = len(PARTS) + len(SECTIONS) + len(ROOMS) + len(EXAMPLES)


@dataclass(frozen=True, slots=True, eq=False)
class Stop:
    """One thing to listen to: ``changed`` is there where it is a plain and a changed version."""

    number: int
    hall: str
    name: str
    title: str
    caption: tuple[str, ...]
    plain: Sound
    changed: Sound | None = None


@dataclass(frozen=True, slots=True)
class Tour:
    """The stops of one show."""

    show: Show
    catalogue: Catalogue

    @property
    def title(self) -> str:
        """The words for it."""
        return f"{self.show.title}, by {DEMO_ENSEMBLE}"

    def stops(self) -> Iterator[Stop]:
        """Yield the stops in order, each made when it is asked for."""
        excerpt = self.show.excerpt(SEED)
        gain_db = common_gain_db(excerpt)
        first = 1
        for number, part in enumerate(excerpt.parts, start=first):
            yield _alone(number, "the stems", part, excerpt, gain_db)
        first += len(excerpt.parts)
        for number, section in enumerate(excerpt.sections, start=first):
            yield _alone(number, "the sections", section, excerpt, gain_db)
        first += len(excerpt.sections)
        for number, (room, words) in enumerate(ROOMS, start=first):
            there = excerpt.in_room(room)
            yield _mix(number, there, words, gain_db if there is excerpt else mix_gain_db(there))
        for number, example in enumerate(EXAMPLES, start=first + len(ROOMS)):
            yield self._example(number, example, excerpt)

    def _example(self, number: int, example: Example, excerpt: Excerpt) -> Stop:
        heard = made(example, self._excerpts_from(excerpt), self.catalogue)
        caption = (
            f"What was done: {heard.done}.",
            f"Listen for {example.listen_for}",
            f"To undo it: {heard.undo}.",
        )
        return Stop(
            number, "faults to hear", example.name, example.title, caption, heard.plain, heard.changed
        )

    def _excerpts_from(self, first: Excerpt) -> Iterator[Excerpt]:
        yield first
        yield from (self.show.excerpt(first.seed + further) for further in range(1, EXCERPTS_TRIED))


def mix_gain_db(excerpt: Excerpt) -> float:
    """Return what brings an excerpt's mix to programme loudness, or to the ceiling if that comes first."""
    gain_db = PROGRAMME_LUFS - integrated_loudness_lufs(excerpt.mix, loop=True)
    return min(gain_db, CEILING_DBTP - true_peak_dbtp(excerpt.mix, loop=True))


def common_gain_db(excerpt: Excerpt) -> float:
    """Return the one gain for an excerpt's mix, sections and stems, so that none is over the ceiling."""
    targets = (*excerpt.parts, *excerpt.sections)
    highest_dbtp = max(true_peak_dbtp(excerpt.through_bus(target), loop=True) for target in targets)
    return min(mix_gain_db(excerpt), CEILING_DBTP - highest_dbtp)


def _alone(number: int, hall: str, target: str, excerpt: Excerpt, gain_db: float) -> Stop:
    """Return a stop of what one target adds to the mix, under the mix's own gain: together they sum to it."""
    sound = gain(excerpt.through_bus(target), gain_db=gain_db)
    title = title_of(target)
    caption = f"The {title} alone, as loud as in the mix, in the {excerpt.room.title}."
    return Stop(number, hall, target, title, (caption,), sound)


def _mix(number: int, excerpt: Excerpt, words: str, gain_db: float) -> Stop:
    sound, title = gain(excerpt.mix, gain_db=gain_db), f"the mix, {excerpt.room.title}"
    return Stop(
        number, "the rooms", f"mix-{excerpt.room.key}", title, (f"The whole ensemble: {words}",), sound
    )
