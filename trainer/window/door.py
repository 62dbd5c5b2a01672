"""The door of the window: opens it for a learner, and says why where it cannot be."""

import os
from collections.abc import Mapping
from pathlib import Path

from trainer.playback.sdl import pygame
from trainer.progress.places import data_folder
from trainer.refusal import Refused
from trainer.window.app import App, prepare_display
from trainer.window.opened import BeginWith, Opening
from trainer.window.settings import load_settings
from trainer.window.trace import NO_TRACE, FileTrace

UNSEEN_DRIVERS = ("dummy", "offscreen")
TRACE_VARIABLE = "YARDLINE_TRACE"
"""Names a file to write the trace to (`trainer.window.trace`)."""


def run_window(app: App) -> None:
    """Show a window and run it until it is closed.

    Raises
    ------
    Refused
        If there is no display to open it on.
    """
    _start_display()
    try:
        app.run()
    finally:
        if app.opened is not None:
            app.opened.close()
        pygame.display.quit()


def make_app(
    *,
    learner: str = "",
    suggested_name: str = "learner",
    begin_with: BeginWith | None = None,
    seed: int | None = None,
    wave: Path | None = None,
    environ: Mapping[str, str] = os.environ,
) -> App:
    """Return the window's program, not yet shown.

    Parameters
    ----------
    learner
        Who drills; empty for who was here last.
    suggested_name
        The name offered where nobody was.
    begin_with
        Makes the sitting to begin with at once; None to begin with today's page.
    seed
        Of everything that is dealt; None for chance.
    wave
        The folder that sounds are wanted in; None for the sound device.
    """
    folder = data_folder(environ=environ)
    settings = load_settings(folder)
    traced = environ.get(TRACE_VARIABLE, "")
    opening = Opening(environ, folder, settings, learner, suggested_name, begin_with, seed, wave)
    return App(opening, settings, trace=FileTrace(Path(traced)) if traced else NO_TRACE)


def _start_display() -> None:
    try:
        prepare_display()
    except pygame.error as why:
        raise Refused(f"there is no display to open a window on ({why}): {WAY_ON}") from why
    if pygame.display.get_driver() in UNSEEN_DRIVERS:
        raise Refused(f"the display is '{pygame.display.get_driver()}', which nobody sees: {WAY_ON}")


WAY_ON = "the drill in the terminal is yardline drill --text"
