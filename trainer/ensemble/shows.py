"""The shows: where excerpts come from. Generated shows write and play their music anew for every seed."""

import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from trainer.ensemble.bank import NoteBank
from trainer.ensemble.composer import compose
from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.mixdown import STRIPS, held, placement_of
from trainer.ensemble.parts import LINE_UP_BY_KEY, LineUp
from trainer.ensemble.performance import perform
from trainer.ensemble.rooms import GYM, STADIUM, Room
from trainer.ensemble.score import Score
from trainer.sound import RATE_HZ, Sound

DEMO_ENSEMBLE = "Saltmarsh Signal"
"""The invented ensemble whose show is the demo."""


class Show(Protocol):
    """A source of music: generated, an ensemble's own multitrack recording, or its own MIDI file."""

    @property
    def key(self) -> str:
        """The name it is stored under."""

    @property
    def title(self) -> str:
        """The words for it."""

    def excerpt(self, seed: int) -> Excerpt:
        """Return the excerpt a seed stands for: the same for the same seed, always."""


@dataclass(frozen=True, slots=True)
class GeneratedShow:
    """A show whose every excerpt is composed from its seed and played by the voices."""

    key: str
    title: str
    line_up: LineUp
    room: Room
    bank: NoteBank

    def excerpt(self, seed: int) -> Excerpt:
        """Return the excerpt a seed stands for."""
        chance = np.random.SeedSequence((zlib.crc32(self.key.encode()), seed))
        score = compose(np.random.default_rng(chance), line_up=self.line_up)
        stems = stems_of(score, bank=self.bank, seed=int(chance.generate_state(1)[0]))
        return Excerpt(self.key, seed, self.title, self.room, stems, score)


@dataclass(frozen=True, slots=True)
class _Billing:
    """What is printed on the programme of a generated show."""

    key: str
    title: str
    line_up: str
    room: Room


PROGRAMME = (
    _Billing("field-show", "field show", "field-show", STADIUM),
    _Billing("indoor-percussion", "indoor percussion", "indoor-percussion", GYM),
    _Billing("marching-band", "marching band", "marching-band", STADIUM),
    _Billing("tide-tables", "The Tide Tables", "field-show", GYM),
)


def generated_shows(bank: NoteBank) -> dict[str, GeneratedShow]:
    """Return the shows that need no files, by key; they share the bank."""
    return {
        billing.key: GeneratedShow(
            billing.key, billing.title, LINE_UP_BY_KEY[billing.line_up], billing.room, bank
        )
        for billing in PROGRAMME
    }


def excerpt_of(show: Show, seed: int, *, room: Room | None = None) -> Excerpt:
    """Return a show's excerpt, in the show's own room or in another."""
    excerpt = show.excerpt(seed)
    return excerpt if room is None else excerpt.in_room(room)


def loop_frames(score: Score) -> int:
    """Return the length of a score's loop: the next length the Fourier transform is quick at.

    The tempo gives way by less than one part in a hundred, so that the loop and the room turn together.
    """
    from scipy import fft

    return fft.next_fast_len(round(score.duration_s * RATE_HZ), real=True)


def stems_of(score: Score, *, bank: NoteBank, seed: int) -> Mapping[str, Sound]:
    """Return every part of a score as played, at its place in the mix, in the ensemble's order.

    Parameters
    ----------
    score
        The notes: composed, or read from a MIDI file.
    bank
        Where the voices keep their notes.
    seed
        How the players play it this time.
    """
    frames = loop_frames(score)
    stems = {}
    for part in score.parts:
        strip = STRIPS[part]
        stem = perform(
            part,
            score.notes_of(part),
            beats=score.beats,
            frames=frames,
            bank=bank,
            seed=seed,
            placement=placement_of(strip),
        )
        stems[part] = held(stem, strip)
    return stems
