"""The window itself: opens it, turns keys and presses into intents, and draws when something has changed."""

import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from trainer.playback.sdl import pygame
from trainer.refusal import Refused
from trainer.window.canvas import Canvas, Live
from trainer.window.control import Control, Intent
from trainer.window.opened import Opened, Opening
from trainer.window.page import FOOT
from trainer.window.screens import opening
from trainer.window.settings import Settings
from trainer.window.theme import THEMES
from trainer.window.trace import NO_TRACE, Trace

SIZE = (1280, 720)
FRAME_S = 1.0 / 60.0
OPENING_FRAME_S = 0.1
"""How long between pictures while the program is loaded, which is to have the processor for itself."""
OPENING_TAKES_S = 1.5
"""How long loading is taken to last, for the bar."""
IDLE_S = 0.25
"""How long the window sleeps between looks at what was done beside it, when nothing moves."""
WAKE = pygame.USEREVENT + 1

KEY_NAMES = {
    pygame.K_SPACE: "space",
    pygame.K_RETURN: "return",
    pygame.K_KP_ENTER: "return",
    pygame.K_ESCAPE: "escape",
    pygame.K_BACKSPACE: "backspace",
    pygame.K_DELETE: "delete",
    pygame.K_LEFT: "left",
    pygame.K_RIGHT: "right",
    pygame.K_UP: "up",
    pygame.K_DOWN: "down",
    pygame.K_PAGEUP: "pageup",
    pygame.K_PAGEDOWN: "pagedown",
    pygame.K_F9: "f9",
    pygame.K_F11: "f11",
}
"""The keys that are not letters."""


@dataclass
class App:
    """The open window.

    Attributes
    ----------
    opened
        What is shown: the opening, then a session.
    worked_s
        How long the last turn took, without waiting.
    """

    opening: Opening
    settings: Settings
    trace: Trace = NO_TRACE
    clock: Callable[[], float] = time.perf_counter
    opened: Opened | None = None
    trouble: str = ""
    is_over: bool = False
    worked_s: float = 0.0
    _canvas: Canvas | None = None
    _shown: object = None
    _looks: list[object] = field(default_factory=list)
    _hover: str = ""
    _is_full: bool = False
    _begun_s: float = 0.0

    # The loop.

    def run(self) -> None:
        """Show the window until it is closed."""
        self.show()
        while not self.is_over:
            self.turn()

    def show(self) -> None:
        """Open the window with its first frame, and begin to load what is heavy."""
        self._begun_s = self.clock()
        self.opening.begin(wake=wake)
        self._open_window()
        self._draw_if_changed()

    def turn(self) -> None:
        """Wait for what happens next, no longer than until the next picture, and draw what came of it."""
        events = self._events()
        begun_s = self.clock()
        for event in events:
            self._take(event)
        self._advance()
        self._draw_if_changed()
        self._draw_lives()
        self.worked_s = self.clock() - begun_s

    def _events(self) -> list[Any]:
        """Return what happened, waiting for it no longer than until the next picture."""
        moving = self.opened is not None and self.opened.session.is_playing
        pause_s = max(0.001, FRAME_S - self.worked_s) if moving else IDLE_S
        if self._is_opening:
            pause_s = OPENING_FRAME_S
        first = pygame.event.wait(int(1000 * pause_s))
        rest = pygame.event.get()
        return rest if first.type == pygame.NOEVENT else [first, *rest]

    def _advance(self) -> None:
        if self.opened is not None:
            self.opened.session.tick()
            self.settings = self.opened.session.settings
            self.is_over = self.is_over or self.opened.session.is_over
        elif not self.trouble:
            self._open_session()
        if self.settings.full_screen != self._is_full:
            self._open_window()

    def _open_session(self) -> None:
        try:
            self.opened = self.opening.opened()
        except Refused as why:
            self.trouble = str(why)

    # What happens.

    def _take(self, event: Any) -> None:
        if event.type == pygame.QUIT:
            self.is_over = True
        elif event.type == pygame.KEYDOWN:
            self._key(event)
        elif event.type == pygame.TEXTINPUT:
            self._typed(event.text)
        elif event.type == pygame.MOUSEMOTION:
            self._hover_over(event.pos)
        elif event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            self._press(event.pos)
        elif event.type == pygame.MOUSEWHEEL and event.y:
            self._wanted_by("pageup" if event.y > 0 else "pagedown")
        elif event.type in (pygame.VIDEORESIZE, pygame.WINDOWEXPOSED, pygame.WINDOWRESTORED):
            self._shown = None
        elif event.type in (pygame.AUDIODEVICEREMOVED, pygame.AUDIODEVICEADDED):
            self._sound_device(event)

    def _key(self, event: Any) -> None:
        name = KEY_NAMES.get(event.key, "")
        if event.key == pygame.K_TAB:
            self._tab(backwards=bool(event.mod & pygame.KMOD_SHIFT))
        elif event.mod & pygame.KMOD_CTRL:
            self._wanted_by(f"ctrl {pygame.key.name(event.key)}")
        elif name == "return" or name == "space":
            focused = self._focused()
            if focused is not None:
                self._want(focused.intent)
            else:
                self._wanted_by(name)
        elif name:
            shifted = (f"shift {name}",) if event.mod & pygame.KMOD_SHIFT else ()
            self._wanted_by(*shifted, name)

    def _typed(self, text: str) -> None:
        """Take a letter: into a name where one is typed, else as a key."""
        if self.opened is not None and self.opened.takes_text:
            self._want(Intent("type", text))
        elif text != " ":
            self._wanted_by(text.casefold())

    def _wanted_by(self, *keys: str) -> None:
        """Do what the first of some keys asks for that asks for anything here."""
        intent_for = self.opened.intent_for if self.opened is not None else _BEFORE.get
        intent = next(filter(None, map(intent_for, keys)), None)
        if intent is not None:
            self._want(intent)

    def _want(self, intent: Intent) -> None:
        if intent.do == "tab":
            self._tab()
        elif self.opened is not None:
            self.opened.session.do(intent)
        elif intent.do == "quit":
            self.is_over = True
        elif intent.do == "try again" and self.trouble:
            self.trouble = ""
            self.opening.begin(wake=wake)

    def _press(self, place: tuple[int, int]) -> None:
        control = self._at(place)
        if control is not None:
            self._want(control.intent)

    def _hover_over(self, place: tuple[int, int]) -> None:
        control = self._at(place)
        self._hover = control.key if control is not None else ""

    def _at(self, place: tuple[int, int]) -> Control | None:
        controls = self._canvas.controls if self._canvas is not None else []
        return next((one for one in reversed(controls) if one.rect.collidepoint(place)), None)

    def _sound_device(self, event: Any) -> None:
        """Pass on that a device went or came; each device there is announces itself once at the start."""
        if self.opened is None or getattr(event, "iscapture", False):
            return
        if event.type == pygame.AUDIODEVICEREMOVED:
            self.opened.notice(event)
        else:
            self.opened.session.do(Intent("appeared"))

    # The keyboard's focus.

    def _tab(self, *, backwards: bool = False) -> None:
        """Go to the next stop of the page."""
        if self.opened is None or self._canvas is None:
            return
        in_order = sorted(self._canvas.controls, key=lambda one: one.key.startswith(FOOT))
        stops = list(dict.fromkeys(one.stop for one in in_order))
        if not stops:
            return
        now = self.opened.session.focus
        step = -1 if backwards else 1
        place = stops.index(now) + step if now in stops else (-1 if backwards else 0)
        self.opened.session.do(Intent("focus", stops[place % len(stops)]))

    def _focused(self) -> Control | None:
        """Return the control the keyboard is on, if it is one to be pressed by itself."""
        if self.opened is None or self._canvas is None:
            return None
        focus = self.opened.session.focus
        return next((one for one in self._canvas.controls if one.key == focus == one.stop), None)

    # Drawing.

    def _open_window(self) -> None:
        self._is_full = self.settings.full_screen
        flags = pygame.FULLSCREEN if self._is_full else pygame.RESIZABLE
        pygame.display.set_mode((0, 0) if self._is_full else SIZE, flags)
        pygame.display.set_caption("Yardline")
        self._shown = None

    def _draw_if_changed(self) -> None:
        """Draw the page if anything it shows has changed."""
        surface = pygame.display.get_surface()
        revision = self.opened.session.revision if self.opened is not None else -1
        shown = (surface.get_size(), self.settings, self._hover, revision, self.trouble, self.opened is None)
        if shown == self._shown:
            return
        self._shown = shown
        self._canvas = canvas_for(surface, self.settings, hover=self._hover)
        self._draw(self._canvas)
        self._looks = [live.look for live in self._canvas.lives]
        pygame.display.flip()
        self.trace.page(self.opened, self._canvas)

    def _draw(self, canvas: Canvas) -> None:
        if self.opened is not None:
            canvas.focus = self.opened.session.focus
            self.opened.draw(canvas)
        elif self.trouble:
            opening.draw_trouble(canvas, self.trouble)
        else:
            opening.draw(canvas, self._opened_share)

    @property
    def _is_opening(self) -> bool:
        return self.opened is None and not self.trouble

    def _opened_share(self) -> float:
        """Return how far the opening is taken to have come, in a hundred steps."""
        return round(100 * min(1.0, (self.clock() - self._begun_s) / OPENING_TAKES_S)) / 100

    def _draw_lives(self) -> None:
        """Draw again the parts that show something new."""
        if self._canvas is None:
            return
        changed = []
        for number, live in enumerate(self._canvas.lives):
            look = live.watch()
            if look != self._looks[number]:
                self._looks[number] = look
                changed.append(self._paint(live, self._canvas))
        if changed:
            pygame.display.update(changed)

    def _paint(self, live: Live, canvas: Canvas) -> pygame.Rect:
        """Draw a part again; return what has changed."""
        again = canvas.afresh()
        canvas.surface.set_clip(live.rect)
        changed = live.paint(again)
        canvas.surface.set_clip(None)
        self.trace.part(self.opened, again)
        return live.rect if changed is None else changed


_BEFORE: dict[str, Intent] = {
    "return": Intent("try again"),
    "escape": Intent("quit"),
}
"""What the keys do before there is a session."""


def canvas_for(surface: pygame.Surface, settings: Settings, *, hover: str = "") -> Canvas:
    """Return a canvas on a surface, its sizes following the surface's and the reader's text size."""
    unit = min(surface.get_width() / SIZE[0], surface.get_height() / SIZE[1])
    return Canvas(surface, THEMES[settings.theme], unit, settings.text_percent / 100.0, hover=hover)


def wake() -> None:
    """End the window's sleep, from any thread."""
    if pygame.display.get_init():
        pygame.event.post(pygame.event.Event(WAKE))


def prepare_display() -> None:
    """Start what the window needs of pygame: never its sound, which the player starts itself."""
    os.environ.setdefault("SDL_WINDOWS_DPI_AWARENESS", "permonitorv2")
    if sys.platform == "linux":
        # A whole window goes through the graphics library for each changed line otherwise: 10 ms against 0.3.
        os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
    pygame.display.init()
    pygame.font.init()
