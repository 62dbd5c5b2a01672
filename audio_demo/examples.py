"""Six faults of a mix, each as it should be and as it is: changes of the real exercises, with captions."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from numpy.random import default_rng

from trainer.ensemble.excerpt import Excerpt
from trainer.ensemble.parts import PART_BY_KEY, title_of
from trainer.practice import audibility, fairness
from trainer.practice.catalogue import Catalogue
from trainer.practice.change import changed_mix
from trainer.practice.exercise import Draw, Exercise, Focus, Scope, Unhearable, described
from trainer.practice.grading import checked
from trainer.practice.values import Value
from trainer.refusal import Refused
from trainer.sound import Sound

EVERYBODY = ("front-ensemble", "electronics", "battery", "brass", "woodwinds")


@dataclass(frozen=True, slots=True)
class Example:
    """A fault to be heard.

    Attributes
    ----------
    name, title
        Its name in files and in words.
    exercise, scope, size, direction
        What it is asked as, and how big; +1 is boost or up, -1 cut or down.
    target
        What the question names, empty where naming it is the question.
    answer
        What is true of it, as far as it is not left to chance.
    playing
        The sections and parts that rehearse while it is heard.
    listen_for
        Where to put one's ear.
    """

    name: str
    title: str
    exercise: str
    scope: Scope
    size: float
    target: str
    answer: Mapping[str, Value]
    playing: tuple[str, ...]
    listen_for: str
    direction: int | None = None


EXAMPLES: tuple[Example, ...] = (
    Example(
        "mallets-under-the-synth", "the mallets buried under the synth", "octave-tone", "stem", 12.0,
        target="synth-pad", answer={"band": 500.0, "direction": "boost"}, direction=1,
        playing=("marimba", "vibraphone", "synth-pad"),
        listen_for="the marimba and the vibraphone: something thick and hollow stands in front, and their "
        "lower notes sink into it. The pad itself does not seem too loud, only thick.",
    ),
    Example(
        "hot-subs", "the subs too hot", "level", "stem", 6.0,
        target="", answer={"which": "sub", "direction": "up", "amount": 6.0}, direction=1,
        playing=EVERYBODY,
        listen_for="the floor: it goes on between the notes of the bass guitar and the bass drums, and they "
        "lose their beginnings in it. Small loudspeakers do not play it at all.",
    ),
    Example(
        "clamped-narrator", "the narrator clamped by a compressor", "compression", "stem", 8.0,
        target="", answer={"which": "narration", "speed": "fast"},
        playing=("narration", "sub"),
        listen_for="the ends of words and the breath between them, as near as the stressed syllables: the "
        "voice stands still, one distance from the ear, and nothing is said louder than anything else.",
    ),
    Example(
        "two-kilohertz-mix", "the whole mix up at 2 kHz", "octave-tone", "mix", 9.0,
        target="mix", answer={"band": 2000.0, "direction": "boost"}, direction=1,
        playing=EVERYBODY,
        listen_for="sticks and brass edges: they come forward, hard and near, and the mix is tiring "
        "after a minute; the low end seems to have shrunk.",
    ),
    Example(
        "thin-bass-drums", "the battery thin at 125 Hz", "octave-tone", "section", 12.0,
        target="battery", answer={"band": 125.0, "direction": "cut"}, direction=-1,
        playing=("front-ensemble", "battery"),
        listen_for="the bass drum line: the strokes are all there, but the body behind each is gone; what "
        "remains is the mallet on the head. Sing along with the lowest drums.",
    ),
    Example(
        "flat-snares", "the snare line compressed fast", "compression", "stem", 8.0,
        target="", answer={"which": "snare-line", "speed": "fast"},
        playing=("battery",),
        listen_for="the accents: they no longer stand out of the roll. The grace notes and the rattle of the "
        "wires come up to them, and the line sounds like one long sheet of noise.",
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class BeforeAfter:
    """An example as sound: plain and changed in step, and the words that go with it."""

    example: Example
    plain: Sound
    changed: Sound
    done: str
    undo: str


def made(example: Example, excerpts: Iterable[Excerpt], catalogue: Catalogue) -> BeforeAfter:
    """Return an example on the first of some excerpts on which its exercise would ask for it.

    Raises
    ------
    Unhearable
        If it could be heard on none of them.
    """
    exercise = catalogue[example.exercise]
    for excerpt in excerpts:
        rehearsed = only(excerpt, playing=example.playing)
        try:
            draw = asked(example, exercise, rehearsed)
        except Unhearable:
            continue
        return _heard(example, exercise, rehearsed, draw)
    raise Unhearable(f"{example.title}: no excerpt lets it be heard")


def only(excerpt: Excerpt, *, playing: tuple[str, ...]) -> Excerpt:
    """Return the excerpt with only some sections and parts playing."""
    stems = {
        part: sound
        for part, sound in excerpt.stems.items()
        if part in playing or PART_BY_KEY[part].section in playing
    }
    return replace(excerpt, stems=stems)


def asked(example: Example, exercise: Exercise, excerpt: Excerpt) -> Draw:
    """Return the example as its exercise would ask it; what it leaves open is the exercise's own draw.

    Raises
    ------
    Unhearable
        If the audibility gate would keep it out.
    """
    scope: Scope = "mix" if example.target else example.scope
    focus = Focus(size=example.size, scope=scope, direction=example.direction)
    draw = exercise.draw(excerpt, focus, default_rng(0))
    answer = {**draw.answer, **example.answer}
    lanes = audibility.lanes(excerpt, example.target, size_db=example.size) if example.target else ()
    try:
        checked(answer, draw.question)
    except Refused as why:
        raise Unhearable(f"{example.title}: not heard in this excerpt") from why
    if example.target and answer["band"] not in lanes:
        raise Unhearable(f"{example.title}: not heard in this excerpt")
    return Draw(replace(draw.question, target=example.target), answer)


def _heard(example: Example, exercise: Exercise, excerpt: Excerpt, draw: Draw) -> BeforeAfter:
    change = exercise.change(draw.answer, draw.question, excerpt)
    reference, changed = fairness.reference_of(excerpt.mix), changed_mix(change, excerpt)
    if exercise.level_is_question:
        plain, changed = fairness.side_by_side(changed, reference)
    else:
        plain, changed = fairness.matched(changed, reference, default_rng(0))
    named = f"{title_of(draw.question.target)}: " if draw.question.target else ""
    size = f"size {draw.question.size:g} {exercise.ladder.unit}"
    return BeforeAfter(
        example,
        plain,
        changed,
        done=f"{named}{described(draw.answer, draw.question)} ({size})",
        undo=exercise.remedy(draw.answer, draw.question),
    )
