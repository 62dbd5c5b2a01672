"""The flip strip: which version sounds, where the loop is, and who plays; in one place on rep and reveal.

Which version sounds is told three ways: the filled button, the words "sounding now", and the waveform's ink
(thin for plain, thick for changed, split for the learner's own answer). The waveform itself is the plain
mix's, whatever sounds, and so are the stems that are lit: the picture never answers for the ear.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.ensemble.parts import PART_BY_KEY, SECTION_BY_KEY, title_of
from trainer.playback.player import Version
from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.drill import Drill, Sight
from trainer.window.session import Session
from trainer.window.theme import AHEAD, mixed
from trainer.window.typeface import BODY, CARD, SMALL
from trainer.window.widgets import progress_bar

TITLES = {Version.PLAIN: "PLAIN", Version.CHANGED: "CHANGED", Version.YOURS: "WHAT YOU SAID"}
NOW = "sounding now"
INK_WIDTH = {Version.PLAIN: 0.34, Version.CHANGED: 0.72, Version.YOURS: 0.72}
"""How much of its slot a bar of the waveform takes."""
MAKING_S = 6.0
"""How long making a rep is taken to last, for the bar; it stands at its end until the rep is there."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Where the parts of the strip lie."""

    whole: pygame.Rect
    buttons: tuple[pygame.Rect, ...]
    wave: pygame.Rect
    stems: pygame.Rect


def strip_height(canvas: Canvas) -> int:
    """Return how high the strip is."""
    buttons = canvas.line_height(CARD) + canvas.line_height(SMALL) + canvas.px(30)
    return max(canvas.px(112), buttons + canvas.px(24))


def draw_strip(canvas: Canvas, rect: pygame.Rect, session: Session, versions: Sequence[Version]) -> None:
    """Draw the strip and have it kept up to date."""
    drill = session.drill
    assert drill is not None, "the strip belongs to a drill"
    strip = _lay_out(canvas, rect, versions)
    canvas.live(rect, lambda: _look(strip, session), lambda now: _paint(now, strip, session, versions))


def _lay_out(canvas: Canvas, rect: pygame.Rect, versions: Sequence[Version]) -> Strip:
    pad, gap = canvas.px(14), canvas.px(8)
    buttons, x = [], rect.left + pad
    for version in versions:
        widest = max(canvas.width_of(TITLES[version], CARD, bold=True), canvas.width_of(NOW, SMALL))
        buttons.append(pygame.Rect(x, rect.top + pad, widest + canvas.px(30), rect.h - 2 * pad))
        x += buttons[-1].w + gap
    right = pygame.Rect(x + gap, rect.top + pad, rect.right - pad - x - gap, rect.h - 2 * pad)
    lines = min(2, max(1, right.h // 2 // canvas.line_height(SMALL)))
    stems = pygame.Rect(right.left, 0, right.w, lines * canvas.line_height(SMALL))
    stems.bottom = right.bottom
    wave = pygame.Rect(right.left, right.top, right.w, stems.top - right.top - canvas.px(4))
    return Strip(rect, tuple(buttons), wave, stems)


def _look(strip: Strip, session: Session) -> object:
    """Return everything the strip shows, so that it is drawn again when, and only when, that changes."""
    drill = session.drill
    if drill is None or drill.rep is None:
        return _made_share(session, steps=200)
    playhead = round(strip.wave.w * _share_of_loop(drill))
    return drill.player.heard, playhead, _sounding(drill), drill.sight is None, drill.player.is_playing


def _paint(canvas: Canvas, strip: Strip, session: Session, versions: Sequence[Version]) -> None:
    canvas.panel(strip.whole, fill=canvas.theme.panel, edge=canvas.theme.line)
    drill = session.drill
    if drill is None or drill.rep is None:
        _paint_making(canvas, strip, _made_share(session, steps=200))
        return
    for version, place in zip(versions, strip.buttons, strict=True):
        _paint_button(canvas, place, version, drill)
    if drill.player.where:
        canvas.paragraph(drill.player.where, strip.wave.union(strip.stems), BODY)
        return
    if drill.sight is not None:
        _paint_wave(canvas, strip.wave, drill, drill.sight)
        _paint_stems(canvas, strip.stems, drill)


def _paint_button(canvas: Canvas, rect: pygame.Rect, version: Version, drill: Drill) -> None:
    theme, key = canvas.theme, f"hear {version.value}"
    sounds = drill.player.heard is version and drill.player.is_playing
    is_there = version is not Version.YOURS or drill.is_yours_ready
    fill = theme.ink if sounds else canvas.pressable(key, theme.panel)
    canvas.panel(rect, fill=fill, edge=None if sounds else theme.edge, width=1.5)
    ink = theme.panel if sounds else (theme.ink if is_there else theme.dim)
    below = NOW if sounds else ("" if is_there else "being made …")
    height = canvas.line_height(CARD) + (canvas.line_height(SMALL) if below else 0)
    top = rect.centery - height // 2 + canvas.px(1)
    room = rect.w - canvas.px(12)
    canvas.write(
        TITLES[version], (rect.centerx, top), CARD, colour=ink, bold=True, anchor="midtop", width=room
    )
    if below:
        at = (rect.centerx, top + canvas.line_height(CARD))
        canvas.write(below, at, SMALL, colour=ink, anchor="midtop", width=room)
    intent = Intent("hear", version)
    canvas.control(key, rect, intent, TITLES[version], chosen=sounds)


def _paint_wave(canvas: Canvas, rect: pygame.Rect, drill: Drill, sight: Sight) -> None:
    ink, version = canvas.theme.ink, drill.player.heard
    playhead = round(rect.w * _share_of_loop(drill))
    faint = mixed(ink, canvas.theme.panel, AHEAD)
    slot = rect.w / len(sight.outline)
    width = max(1, round(slot * INK_WIDTH[version]))
    for number, peak in enumerate(sight.outline):
        x = rect.left + round((number + 0.5) * slot - width / 2)
        half = max(1, round(0.5 * rect.h * float(peak)))
        colour = ink if x - rect.left <= playhead else faint
        bar = pygame.Rect(x, rect.centery - half, width, 2 * half)
        canvas.bar(bar, colour)
        if version is Version.YOURS:
            canvas.bar(
                pygame.Rect(x, rect.centery - max(1, half // 4), width, max(2, half // 2)), canvas.theme.panel
            )
    head = pygame.Rect(
        rect.left + playhead, rect.top - canvas.px(3), max(2, canvas.px(2)), rect.h + canvas.px(6)
    )
    canvas.bar(head, canvas.theme.focus)


def _paint_stems(canvas: Canvas, rect: pygame.Rect, drill: Drill) -> None:
    """Name the stems, those that sound now lit; the sections where there is no room for every stem."""
    assert drill.rep is not None
    sounding = set(_sounding(drill))
    stems = [(title_of(key), key in sounding) for key in drill.rep.excerpt.stems]
    placed = _flow(canvas, rect, [words for words, _ in stems])
    if placed is None:
        stems = _by_section(drill.rep.excerpt.stems, sounding)
        placed = _flow(canvas, rect, [words for words, _ in stems]) or []
    for (words, is_lit), midleft in zip(stems, placed, strict=False):
        colour = canvas.theme.ink if is_lit else canvas.theme.dim
        if is_lit:
            canvas.sign("dot", (midleft[0] + canvas.px(3), midleft[1]), 6, canvas.theme.ink)
        canvas.write(words, (midleft[0] + canvas.px(10), midleft[1]), SMALL, colour=colour, anchor="midleft")


def _by_section(stems: Iterable[str], sounding: set[str]) -> list[tuple[str, bool]]:
    sections = dict.fromkeys(PART_BY_KEY[key].section for key in stems)
    lit = {PART_BY_KEY[key].section for key in sounding}
    return [(SECTION_BY_KEY[key].title, key in lit) for key in sections]


def _flow(canvas: Canvas, rect: pygame.Rect, names: Sequence[str]) -> list[tuple[int, int]] | None:
    """Return where each name goes in lines of the rectangle, or None where they do not all fit."""
    step, gap = canvas.line_height(SMALL), canvas.px(12)
    x, y, places = rect.left, rect.top + step // 2, []
    for name in names:
        width = canvas.px(10) + canvas.width_of(name, SMALL)
        if x > rect.left and x + width > rect.right:
            x, y = rect.left, y + step
        places.append((x, y))
        x += width + gap
    return places if y <= rect.bottom and x - gap <= rect.right + gap else None


def _sounding(drill: Drill) -> tuple[str, ...]:
    """Return the stems that sound now."""
    if drill.sight is None or not drill.player.is_playing:
        return ()
    return drill.sight.activity.sounding(drill.player.heard_position_s)


def _share_of_loop(drill: Drill) -> float:
    assert drill.rep is not None
    return (drill.player.heard_position_s / drill.rep.excerpt.duration_s) % 1.0


def _made_share(session: Session, *, steps: int) -> float:
    """Return how far the making of a rep is taken to have come, in so many steps."""
    if session.waiting_since is None:
        return 0.0
    waited_s = (session.now() - session.waiting_since).total_seconds()
    return round(steps * min(1.0, waited_s / MAKING_S)) / steps


def _paint_making(canvas: Canvas, strip: Strip, share: float) -> None:
    inner = strip.whole.inflate(-2 * canvas.px(24), -2 * canvas.px(16))
    words = "Making the music for this rep: a few seconds."
    below = canvas.paragraph(words, inner, CARD) + canvas.px(6)
    height = max(canvas.px(14), 10)
    progress_bar(canvas, pygame.Rect(inner.left, min(below, inner.bottom - height), inner.w, height), share)
