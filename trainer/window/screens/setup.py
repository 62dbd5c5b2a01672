"""Setup: the listening level from the quietest up, the caution, the device, and how the window looks."""

from trainer.playback.care import CAUTION, GUIDANCE
from trainer.playback.sdl import pygame
from trainer.progress.setups import bands_words
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.page import GAP, columns
from trainer.window.session import Session
from trainer.window.settings import TEXT_SIZES
from trainer.window.typeface import BODY, CARD, SMALL, TITLE
from trainer.window.widgets import PADDING, Option, button, button_height, card, options

QUIETEST_DB = -60.0
DEFAULT_DEVICE = "the default one"
NOT_CHECKED = "not checked: yardline setup check"
"""Where no setup was made yet: the command that makes one."""
MOST_SETUPS = 3


def draw(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    """Draw the page's body."""
    left, right = columns(canvas, body, 0.5)
    y = canvas.paragraph("What you listen on", left, TITLE, bold=True) + canvas.px(4)
    rest = pygame.Rect(left.left, y, left.w, left.bottom - y)
    high = button_height(canvas)
    level = pygame.Rect(rest.left, rest.top, rest.w, 0)
    level.h = (
        2 * canvas.px(16) + canvas.line_height(CARD) + 2 * canvas.line_height(SMALL) + high + canvas.px(20)
    )
    _draw_level(canvas, level, session)
    _draw_caution(canvas, rest, level.bottom + canvas.px(GAP), high)
    _draw_choices(canvas, right, session)


def _draw_caution(canvas: Canvas, rest: pygame.Rect, top: int, high: int) -> None:
    gap, inside = canvas.px(GAP), rest.w - 2 * canvas.px(PADDING)
    needed = 2 * canvas.px(16) + canvas.line_height(CARD) + canvas.px(12)
    needed += canvas.height_of(CAUTION, inside, BODY) + canvas.height_of(GUIDANCE, inside, SMALL)
    care = pygame.Rect(rest.left, top, rest.w, min(needed, rest.bottom - high - gap - top))
    inner = card(canvas, care, "Mind your ears", size=CARD)
    y = canvas.paragraph(CAUTION, inner, BODY) + canvas.px(6)
    left_over = pygame.Rect(inner.left, y, inner.w, inner.bottom - y)
    if canvas.fits(GUIDANCE, left_over, SMALL):
        canvas.paragraph(GUIDANCE, left_over, SMALL, colour=canvas.theme.dim)
    done = pygame.Rect(rest.left, care.bottom + gap, rest.w, high)
    button(canvas, done, "That is comfortable", Intent("back"), cap="Enter", is_first=True, size=CARD)


def _draw_level(canvas: Canvas, rect: pygame.Rect, session: Session) -> None:
    inner = card(canvas, rect, "Listening level", size=CARD)
    words = (
        "A steady noise plays, as loud as the music will be. Turn it up until it is comfortable, no further."
    )
    if session.player.where:
        words = f"The sounds go to files. {session.player.where}"
    y = canvas.paragraph(
        words, pygame.Rect(inner.left, inner.top, inner.w, 2 * canvas.line_height(SMALL)), SMALL
    )
    high = button_height(canvas)
    row = pygame.Rect(inner.left, max(y + canvas.px(8), inner.bottom - high), inner.w, high)
    wide = max(canvas.px(64), canvas.width_of("+ +", CARD, bold=True) + canvas.px(30))
    softer = pygame.Rect(row.left, row.top, wide, high)
    louder = pygame.Rect(row.right - wide, row.top, wide, high)
    button(canvas, softer, "−", Intent("level", -1), key="softer", size=CARD)
    button(canvas, louder, "+", Intent("level", 1), key="louder", size=CARD)
    said = f"{session.sound.level_db:.0f} dB".replace("-", "−")
    gap = canvas.px(14)
    number = canvas.width_of("−60 dB", BODY, bold=True)
    bar = pygame.Rect(softer.right + gap, 0, louder.left - softer.right - 3 * gap - number, canvas.px(14))
    bar.centery = row.centery
    canvas.panel(bar, fill=canvas.theme.lane, edge=canvas.theme.edge, radius=7)
    filled = bar.inflate(-canvas.px(6), -canvas.px(6))
    filled.w = round(filled.w * (session.sound.level_db - QUIETEST_DB) / -QUIETEST_DB)
    if filled.w >= filled.h:
        canvas.panel(filled, fill=canvas.theme.ink, radius=4)
    canvas.write(said, (louder.left - gap, row.centery), BODY, bold=True, anchor="midright")


def _draw_choices(canvas: Canvas, body: pygame.Rect, session: Session) -> None:
    rows = _rows(session)
    inner = card(canvas, body, "")
    step = inner.h / len(rows)
    for number, (words, choices) in enumerate(rows):
        top = inner.top + round(number * step)
        canvas.write(words, (inner.left, top), SMALL, colour=canvas.theme.dim, width=inner.w)
        below = top + canvas.line_height(SMALL)
        height = min(
            button_height(canvas, BODY), inner.top + round((number + 1) * step) - below - canvas.px(6)
        )
        if choices:
            options(canvas, pygame.Rect(inner.left, below, inner.w, height), choices)
        else:
            canvas.write(NOT_CHECKED, (inner.left, below), BODY, width=inner.w)


def _rows(session: Session) -> list[tuple[str, list[Option]]]:
    settings = session.settings

    def choice(field: str, value: object, words: str) -> Option:
        is_chosen = getattr(settings, field) == value
        return Option(f"{field} {value}", words, Intent("set", {field: value}), is_chosen)

    devices = ["", *session.devices]
    now = devices.index(settings.device) if settings.device in devices else 0
    following = devices[(now + 1) % len(devices)]
    shown = [choice("device", devices[now], devices[now] or DEFAULT_DEVICE)]
    if following != devices[now]:
        words = f"next: {following or DEFAULT_DEVICE}"
        shown.append(Option("next device", words, Intent("set", {"device": following}), is_chosen=False))
    shows = [choice("show", key, show.title) for key, show in session.assembly.shows.items()]
    chosen = session.setup
    setups = [
        Option(f"setup {one.name}", one.name, Intent("use setup", one.name), is_chosen=one == chosen)
        for one in session.setups[-MOST_SETUPS:]
    ]
    plays = f" · plays {bands_words(chosen.usable_hz)}" if chosen is not None else ""
    return [
        ("sound device", shown),
        (f"your setup{plays}", setups),
        (
            "flips",
            [
                choice("quick_flips", False, "safe on any machine"),
                choice("quick_flips", True, "heard sooner"),
            ],
        ),
        ("the music", shows),
        ("light · F9", [choice("theme", "night", "night"), choice("theme", "day", "day")]),
        ("text · Ctrl + and Ctrl −", [choice("text_percent", size, f"{size} %") for size in TEXT_SIZES]),
        (
            "window · F11",
            [choice("full_screen", False, "in a window"), choice("full_screen", True, "full screen")],
        ),
    ]
