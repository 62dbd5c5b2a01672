"""The trace: what the window shows, a line of JSON a picture, for tests and for looking into what went wrong."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas

if TYPE_CHECKING:
    from trainer.window.opened import Opened


class Trace(Protocol):
    """Is told of every picture."""

    def page(self, opened: "Opened | None", canvas: Canvas) -> None:
        """Note a whole page."""

    def part(self, opened: "Opened | None", canvas: Canvas) -> None:
        """Note a part that was drawn again."""


class NoTrace:
    """Notes nothing."""

    def page(self, opened: "Opened | None", canvas: Canvas) -> None:
        """Note nothing."""

    def part(self, opened: "Opened | None", canvas: Canvas) -> None:
        """Note nothing."""


NO_TRACE: Trace = NoTrace()


class FileTrace:
    """Writes a line a picture to a file: the page, its words, and its controls with their places."""

    def __init__(self, path: Path) -> None:
        self._file = path.open("w", encoding="utf-8")
        self._said = ""

    def page(self, opened: "Opened | None", canvas: Canvas) -> None:
        """Note a whole page."""
        self._write("page", opened, canvas)

    def part(self, opened: "Opened | None", canvas: Canvas) -> None:
        """Note a part that was drawn again, where it says something else than the last one."""
        said = json.dumps([one.words for one in canvas.written])
        if said != self._said:
            self._said = said
            self._write("part", opened, canvas)

    def _write(self, kind: str, opened: "Opened | None", canvas: Canvas) -> None:
        controls = {one.key: [*one.rect.center, one.chosen, one.stop] for one in canvas.controls}
        line: dict[str, Any] = {
            "kind": kind,
            "place": opened.session.place.value if opened is not None else "opening",
            "over": opened.session.over.value if opened is not None and opened.session.over else "",
            "words": [one.words for one in canvas.written],
            "controls": controls,
            "focus": canvas.focus,
            "window": pygame.display.get_wm_info().get("window", 0),
        }
        self._file.write(json.dumps(line, ensure_ascii=False) + "\n")
        self._file.flush()
