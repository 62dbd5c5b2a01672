"""Writing: from a generator to a score, part by part."""

import numpy as np

from trainer.ensemble.composer.dice import Dice
from trainer.ensemble.composer.drumline import bass_drum_line, snare_line, tenor_line
from trainer.ensemble.composer.dynamics import draw_shapes, velocities
from trainer.ensemble.composer.electronics import narration, sub, synth_pad
from trainer.ensemble.composer.events import TICKS_PER_BEAT, Event
from trainer.ensemble.composer.kit import bass_guitar, drum_set
from trainer.ensemble.composer.mallets import glockenspiel, marimba, vibraphone, xylophone
from trainer.ensemble.composer.music import Writer, draw_music
from trainer.ensemble.composer.percussion import concert_bass_drum, cymbals, timpani
from trainer.ensemble.composer.winds import baritones, mellophones, trumpets, tubas, woodwinds
from trainer.ensemble.parts import PART_BY_KEY, LineUp
from trainer.ensemble.score import Note, Score

WRITERS: dict[str, Writer] = {
    "marimba": marimba,
    "vibraphone": vibraphone,
    "xylophone": xylophone,
    "glockenspiel": glockenspiel,
    "timpani": timpani,
    "concert-bass-drum": concert_bass_drum,
    "cymbals": cymbals,
    "drum-set": drum_set,
    "bass-guitar": bass_guitar,
    "synth-pad": synth_pad,
    "sub": sub,
    "narration": narration,
    "snare-line": snare_line,
    "tenor-line": tenor_line,
    "bass-drum-line": bass_drum_line,
    "trumpets": trumpets,
    "mellophones": mellophones,
    "baritones": baritones,
    "tubas": tubas,
    "woodwinds": woodwinds,
}


def compose(rng: np.random.Generator, *, line_up: LineUp) -> Score:
    """Return a loop of music in which every part of the line-up plays.

    Parameters
    ----------
    rng
        All chance comes from here: the same state gives the same score. Each part throws dice of its own,
        so the parts two line-ups share play the same.
    line_up
        Who plays.
    """
    seeds = rng.integers(0, 2**63, size=len(WRITERS) + 2)
    material, shaping, *own = (Dice(np.random.default_rng(seed)) for seed in seeds)
    music = draw_music(material)
    shapes = draw_shapes(shaping, music.plan)
    notes: list[Note] = []
    for dice, (part, write) in zip(own, WRITERS.items(), strict=True):
        if part in line_up.parts:
            events = _settled(write(dice, music))
            notes += _notes(part, events, velocities(part, events, shapes[PART_BY_KEY[part].section]))
    return Score(
        title=f"Study in {music.plan.key.name}",
        tempo_bpm=float(music.plan.tempo_bpm),
        beats_per_bar=music.plan.beats_per_bar,
        bars=music.plan.bars,
        notes=tuple(sorted(notes, key=lambda note: note.start_beat)),
    )


def _settled(events: list[Event]) -> list[Event]:
    """Return the events in order, the louder of two on the same tick and pitch."""
    loudest: dict[tuple[int, int], Event] = {}
    for event in events:
        place = (event.tick, event.pitch)
        if place not in loudest or loudest[place].stress < event.stress:
            loudest[place] = event
    return [loudest[place] for place in sorted(loudest)]


def _notes(part: str, events: list[Event], levels: list[float]) -> list[Note]:
    return [
        Note(
            part,
            event.tick / TICKS_PER_BEAT,
            event.ticks / TICKS_PER_BEAT,
            event.pitch,
            level,
            event.technique,
        )
        for event, level in zip(events, levels, strict=True)
    ]
