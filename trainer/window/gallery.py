"""The gallery: every page of the window drawn to a picture, for the README and to look at after a change."""

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import cycle, islice
from typing import TypeVar

from trainer.playback.sdl import pygame
from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.practice.control_field import ControlField
from trainer.practice.fields import Field, OptionField
from trainer.practice.list_field import ListField
from trainer.practice.values import Answer, Value
from trainer.progress.setups import Setup, keep_setup
from trainer.window import view
from trainer.window.app import canvas_for
from trainer.window.canvas import Canvas
from trainer.window.chores import Failed
from trainer.window.control import Intent
from trainer.window.gallery_staff import quiz_scenes, staff_scenes
from trainer.window.screens import opening
from trainer.window.session import Session
from trainer.window.settings import Settings
from trainer.window.state import Notice, Over, Place

T = TypeVar("T")
Sleep = Callable[[float], None]


class PromptChores:
    """Does every chore at once, so that a page shows all it will ever show."""

    def do(self, work: Callable[[], T], then: Callable[[T], None], failed: Failed) -> None:  # noqa: ARG002
        """Do some work now; what it raises is raised here."""
        then(work())

    def settle(self) -> bool:
        """Have nothing to hand over."""
        return False


@dataclass(frozen=True, slots=True)
class Look:
    """How a page is looked at."""

    width: int
    height: int
    theme: str
    text_percent: int

    @property
    def name(self) -> str:
        """A name for files."""
        return f"{self.width}x{self.height}-{self.theme}-{self.text_percent}"

    def settings(self, settings: Settings) -> Settings:
        """Return settings that look like this."""
        return replace(settings, theme=self.theme, text_percent=self.text_percent)


LOOKS = tuple(
    Look(width, height, theme, percent)
    for width, height in ((1280, 720), (1920, 1080))
    for theme in ("night", "day")
    for percent in (100, 175)
)


def drawn(session: Session, look: Look) -> Canvas:
    """Return the session's page drawn on a surface of its own."""
    canvas = blank(session.settings, look)
    canvas.focus = session.focus
    view.draw(canvas, session)
    return canvas


def blank(settings: Settings, look: Look) -> Canvas:
    """Return an empty canvas for a look."""
    pygame.font.init()
    return canvas_for(pygame.Surface((look.width, look.height)), look.settings(settings))


def _with_setup(session: Session) -> Iterator[str]:
    """Lead to the pages that say what is listened on, for somebody whose laptop plays seven octave bands."""
    laptop = Setup("laptop", "", OCTAVE_SCALE.names_hz[2:9], session.now())
    keep_setup(
        session.store, session.learner, replace(laptop, name="headphones", usable_hz=OCTAVE_SCALE.names_hz)
    )
    keep_setup(session.store, session.learner, laptop)
    session.do(Intent("go", Place.SETUP))
    yield "setup-laptop"
    session.do(Intent("use setup", "headphones"))
    session.do(Intent("back"))


def scenes(session: Session, *, sleep: Sleep = time.sleep) -> Iterator[str]:
    """Lead a session of somebody known through every page; yield each one's name when it stands there."""
    yield "today"
    for place in (Place.PROGRESS, Place.SETUP, Place.LEARNERS):
        session.do(Intent("go", place))
        yield place.value
        session.do(Intent("back"))
    yield from _with_setup(session)
    session.do(Intent("back"))
    yield "leave"
    session.do(Intent("resume"))
    for number, key in enumerate(session.exercises):
        yield from _exercise(session, number, key, sleep)
    yield from quiz_scenes(session, lambda waiting: _wait(waiting, sleep))
    yield from staff_scenes(session)


def _exercise(session: Session, number: int, key: str, sleep: Sleep) -> Iterator[str]:
    session.do(Intent("only", number))
    if number == 0:
        yield "rep-waiting"
    _wait(session, sleep)
    yield f"rep-{key}"
    _fill_in(session, _wrong_answer(session))
    yield f"rep-{key}-picked"
    if number == 0:
        yield from _laid_over(session)
    session.do(Intent("answer"))
    session.tick()
    yield f"reveal-{key}-wrong"
    if session.drill is not None and session.drill.is_alone_ready:
        session.do(Intent("alone"))
        session.do(Intent("flip"))
        yield f"reveal-{key}-alone"
    session.do(Intent("next"))
    _wait(session, sleep)
    _fill_in(session, session.drill.rep.answer if session.drill and session.drill.rep else {})
    session.do(Intent("answer"))
    session.tick()
    yield f"reveal-{key}-right"
    if number == 0:
        yield from _to_the_end(session, sleep)
    session.do(Intent("leave block"))


def _laid_over(session: Session) -> Iterator[str]:
    for over in (Over.KEYS, Over.PAUSE, Over.BREAK):
        session.over = over
        yield over.value
    session.over = None
    session.notice = Notice("sound", LOST, way_on="Try again", intent=Intent("reopen"))
    yield "rep-device-removed"
    session.notice = None


LOST = (
    "The sound device 'USB Audio' was removed: nothing is heard any more. What you picked is still here, and every "
    "answer before it is kept. Plug it in again, or choose another one."
)


def _to_the_end(session: Session, sleep: Sleep) -> Iterator[str]:
    """Lead to the end of the block: the marks of all but its last rep are those of the first two, over and over."""
    session.do(Intent("next"))
    block = session.drill.block if session.drill is not None else None
    assert block is not None, "there is a block to go to the end of"
    first = tuple(block.marks)
    block.marks.extend(islice(cycle(first), block.count - 1 - len(first)))
    _wait(session, sleep)
    session.do(Intent("give up"))
    session.tick()
    session.do(Intent("next"))
    yield "summary"
    session.do(Intent("done"))


def _wait(session: Session, sleep: Sleep) -> None:
    """Wait until the next rep is there."""
    while session.drill is not None and session.drill.is_waiting and not session.drill.block.finished:
        session.tick()
        sleep(0.01)
    session.tick()


def _fill_in(session: Session, answer: Answer) -> None:
    for key, value in answer.items():
        session.do(Intent("pick", {key: value}))


def _wrong_answer(session: Session) -> Answer:
    """Return an answer to the present rep that is wrong in its first field."""
    rep = session.drill.rep if session.drill is not None else None
    assert rep is not None, "there is a rep to answer"
    first = rep.question.fields[0]
    return {**rep.answer, first.key: wrong_value(first, rep.answer[first.key])}


def wrong_value(one: Field, right: Value) -> Value:
    """Return a value of a field that is not the right one: the next option; all rows but the first; an end."""
    if isinstance(one, OptionField):
        return one.options[(one.options.index(one.checked(right)) + 1) % len(one.options)]
    if isinstance(one, ListField):
        return one.checked(right)[1:] or ({each.key: each.options[0] for each in one.of},)
    if isinstance(one, ControlField):
        return one.low if one.mark(one.low, right) < 1.0 else one.high
    raise TypeError(f"{one!r} has no values to choose a wrong one from")


def opening_page(settings: Settings, look: Look) -> Canvas:
    """Return the page of the first frame."""
    canvas = blank(settings, look)
    opening.draw(canvas, lambda: 0.4)
    return canvas


def trouble_page(settings: Settings, look: Look, words: str) -> Canvas:
    """Return the page of a start that failed."""
    canvas = blank(settings, look)
    opening.draw_trouble(canvas, words)
    return canvas


def save(canvas: Canvas, path: str) -> None:
    """Save a drawn page as a picture."""
    pygame.image.save(canvas.surface, path)
