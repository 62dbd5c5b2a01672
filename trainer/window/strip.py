"""The flip strip: which version sounds, where the loop is, and who plays; in one place on rep and reveal.

Which version sounds is told three ways: the filled button, the words "sounding now", and the waveform's ink
(thin for plain, thick for changed, split for the learner's own answer). Where only what was changed is heard,
the button that asks for it is filled as well, and no other stem is lit. The waveform itself is the plain mix's,
whatever sounds, and so are the stems that are lit: the picture never answers for the ear.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.ensemble.parts import PART_BY_KEY, SECTION_BY_KEY, title_of
from trainer.playback.player import Version
from trainer.playback.sdl import pygame
from trainer.practice.pictures import Outline
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.drill import Drill
from trainer.window.session import Session
from trainer.window.theme import AHEAD, Colour, mixed
from trainer.window.typeface import BODY, CARD, SMALL
from trainer.window.widgets import progress_bar

TITLES = {Version.PLAIN: "PLAIN", Version.CHANGED: "CHANGED", Version.YOURS: "WHAT YOU SAID"}
NOW = "sounding now"
ONLY = "ONLY"
BEING_MADE = "being made …"
INK_WIDTH = {Version.PLAIN: 0.34, Version.CHANGED: 0.72, Version.YOURS: 0.72}
"""How much of its slot a bar of the waveform takes."""
MAKING_S = 6.0
"""How long making a rep is taken to last, for the bar; it stands at its end until the rep is there."""


@dataclass(frozen=True, slots=True)
class Strip:
    """Where the parts of the strip lie; ``only`` is empty where nothing is heard alone."""

    whole: pygame.Rect
    buttons: tuple[pygame.Rect, ...]
    only: pygame.Rect
    wave: pygame.Rect
    stems: pygame.Rect


def strip_height(canvas: Canvas) -> int:
    """Return how high the strip is."""
    buttons = canvas.line_height(CARD) + canvas.line_height(SMALL) + canvas.px(30)
    return max(canvas.px(112), buttons + canvas.px(24))


def draw_strip(canvas: Canvas, rect: pygame.Rect, session: Session, versions: Sequence[Version]) -> None:
    """Draw the strip and have its parts kept up to date, each when what it shows changes."""
    drill = session.drill
    assert drill is not None, "the strip belongs to a drill"
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.line)
    only_words = "" if drill.player.where else drill.only_words  # in files it is one more file
    strip = _lay_out(canvas, rect, versions, only_words)
    if drill.rep is None:
        canvas.live(
            rect, lambda: _made_share(session), lambda now: _paint_making(now, strip, _made_share(session))
        )
        return
    for version, place in zip(versions, strip.buttons, strict=True):
        _keep_button(canvas, place, version, drill)
    if strip.only.w:
        _keep_only(canvas, strip.only, drill)
    if drill.player.where:
        canvas.paragraph(drill.player.where, strip.wave.union(strip.stems), BODY)
    elif drill.sight is not None:
        _keep_wave(canvas, strip, drill, _wave_pictures(canvas, strip.wave.size, drill.sight.outline))
        canvas.live(strip.stems, lambda: _sounding(drill), lambda now: _paint_stems(now, strip.stems, drill))


def _keep_wave(canvas: Canvas, strip: Strip, drill: Drill, pictures: "Pictures") -> None:
    """Draw the waveform and keep it up to date; as the playhead goes on, only what it passes is drawn again."""
    reach = canvas.px(3)
    around = strip.wave.inflate(2 * reach, 2 * reach)
    drawn: list[tuple[Version, int]] = []

    def look() -> tuple[Version, int]:
        return drill.player.heard, _playhead(strip, drill)

    def paint(now: Canvas) -> pygame.Rect:
        version, playhead = look()
        passed = around
        if drawn and drawn[-1][0] is version and 0 <= playhead - drawn[-1][1] < strip.wave.w // 8:
            left = strip.wave.left + drawn[-1][1] - reach
            passed = pygame.Rect(left, around.top, playhead - drawn[-1][1] + 3 * reach, around.h)
        drawn[:] = [(version, playhead)]
        before = now.surface.get_clip()
        now.surface.set_clip(passed.clip(before))
        _paint_wave(now, strip.wave, pictures[version.together], playhead)
        now.surface.set_clip(before)
        return passed

    canvas.live(around, look, paint)


def _keep_button(canvas: Canvas, place: pygame.Rect, version: Version, drill: Drill) -> None:
    """Draw a version's button and keep it up to date with what is heard."""

    def look() -> object:
        return _heard(drill), drill.is_yours_ready

    canvas.live(place, look, lambda now: _paint_button(now, place, version, drill))


def _keep_only(canvas: Canvas, place: pygame.Rect, drill: Drill) -> None:
    """Draw the button that lets only what was changed be heard, and keep it up to date."""

    def look() -> object:
        return _heard(drill), drill.is_alone_ready

    canvas.live(place, look, lambda now: _paint_only(now, place, drill))


def _lay_out(canvas: Canvas, rect: pygame.Rect, versions: Sequence[Version], only_words: str) -> Strip:
    pad, gap = canvas.px(14), canvas.px(8)
    said = [(TITLES[version], NOW) for version in versions]
    if only_words:
        said.append((ONLY, _rest_of(only_words)))
    buttons, x = [], rect.left + pad
    for title, below in said:
        widest = max(canvas.width_of(title, CARD, bold=True), canvas.width_of(below, SMALL))
        buttons.append(pygame.Rect(x, rect.top + pad, widest + canvas.px(30), rect.h - 2 * pad))
        x += buttons[-1].w + gap
    only = buttons.pop() if only_words else pygame.Rect(0, 0, 0, 0)
    right = pygame.Rect(x + gap, rect.top + pad, rect.right - pad - x - gap, rect.h - 2 * pad)
    lines = min(2, max(1, right.h // 2 // canvas.line_height(SMALL)))
    stems = pygame.Rect(right.left, 0, right.w, lines * canvas.line_height(SMALL))
    stems.bottom = right.bottom
    wave = pygame.Rect(right.left, right.top, right.w, stems.top - right.top - canvas.px(4))
    return Strip(rect, tuple(buttons), only, wave, stems)


def _paint_button(canvas: Canvas, rect: pygame.Rect, version: Version, drill: Drill) -> None:
    heard = _heard(drill)
    sounds = heard is not None and heard.together is version
    is_there = drill.is_ready(version)
    below = NOW if sounds else ("" if is_there else BEING_MADE)
    key = f"hear {version.value}"
    _paint_pressable(canvas, rect, key, (TITLES[version], below), is_filled=sounds, is_there=is_there)
    canvas.control(key, rect, Intent("hear", version), TITLES[version], chosen=sounds)


def _paint_only(canvas: Canvas, rect: pygame.Rect, drill: Drill) -> None:
    heard, words = _heard(drill), drill.only_words
    is_alone = heard is not None and heard.is_alone
    below = _rest_of(words) if drill.is_alone_ready else BEING_MADE
    said = (ONLY, below)
    _paint_pressable(canvas, rect, "alone", said, is_filled=is_alone, is_there=drill.is_alone_ready)
    canvas.control("alone", rect, Intent("alone"), words, chosen=is_alone)


def _rest_of(only_words: str) -> str:
    """Return what stands under ``ONLY``: ``the brass``."""
    return only_words[len(ONLY) :].strip()


def _paint_pressable(
    canvas: Canvas, rect: pygame.Rect, key: str, said: tuple[str, str], *, is_filled: bool, is_there: bool
) -> None:
    """Draw a button of a title and a line below it, filled for what is heard."""
    theme, (title, below) = canvas.theme, said
    canvas.bar(rect, theme.panel)
    fill = theme.ink if is_filled else canvas.pressable(key, theme.panel)
    canvas.panel(rect, fill=fill, edge=None if is_filled else theme.edge, width=1.5)
    ink = theme.panel if is_filled else (theme.ink if is_there else theme.dim)
    height = canvas.line_height(CARD) + (canvas.line_height(SMALL) if below else 0)
    top = rect.centery - height // 2 + canvas.px(1)
    room = rect.w - canvas.px(12)
    canvas.write(title, (rect.centerx, top), CARD, colour=ink, bold=True, anchor="midtop", width=room)
    if below:
        at = (rect.centerx, top + canvas.line_height(CARD))
        canvas.write(below, at, SMALL, colour=ink, anchor="midtop", width=room)


Pictures = dict[Version, tuple[pygame.Surface, pygame.Surface]]
"""For each version the whole waveform twice: in the ink of what has sounded, and of what is ahead."""


def _wave_pictures(canvas: Canvas, size: tuple[int, int], outline: Outline) -> Pictures:
    inks = (canvas.theme.ink, mixed(canvas.theme.ink, canvas.theme.panel, AHEAD))
    return {
        version: (
            _wave_picture(canvas, size, outline, version, inks[0]),
            _wave_picture(canvas, size, outline, version, inks[1]),
        )
        for version in INK_WIDTH
    }


def _wave_picture(
    canvas: Canvas, size: tuple[int, int], outline: Outline, version: Version, ink: Colour
) -> pygame.Surface:
    picture = pygame.Surface(size)
    picture.fill(canvas.theme.panel)
    slot, middle = size[0] / len(outline), size[1] // 2
    width = max(1, round(slot * INK_WIDTH[version]))
    for number, peak in enumerate(outline):
        x = round((number + 0.5) * slot - width / 2)
        half = max(1, round(0.5 * size[1] * float(peak)))
        picture.fill(ink, (x, middle - half, width, 2 * half))
        if version is Version.YOURS:
            gap = max(1, half // 4)
            picture.fill(canvas.theme.panel, (x, middle - gap, width, 2 * gap))
    return picture


def _heard(drill: Drill) -> Version | None:
    """Return the version that is heard now; None while none is: stopped, the device gone, or all in files."""
    player = drill.player
    is_heard = player.is_playing and not player.is_lost and not player.where
    return player.heard if is_heard else None


def _paint_wave(
    canvas: Canvas, rect: pygame.Rect, inks: tuple[pygame.Surface, pygame.Surface], playhead: int
) -> None:
    sounded, ahead = inks
    surface, reach = canvas.surface, canvas.px(3)
    surface.fill(canvas.theme.panel, rect.inflate(2 * reach, 2 * reach))
    surface.blit(sounded, rect, (0, 0, playhead, rect.h))
    surface.blit(ahead, (rect.left + playhead, rect.top), (playhead, 0, rect.w - playhead, rect.h))
    head = pygame.Rect(rect.left + playhead, rect.top - reach, max(2, canvas.px(2)), rect.h + 2 * reach)
    canvas.bar(head, canvas.theme.focus)


def _paint_stems(canvas: Canvas, rect: pygame.Rect, drill: Drill) -> None:
    """Name the stems, those that sound now lit; the sections where there is no room for every stem."""
    assert drill.rep is not None
    canvas.bar(rect, canvas.theme.panel)
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
    """Return the stems that sound now: where the target is heard alone, only its own."""
    if drill.sight is None or not drill.player.is_playing:
        return ()
    sounding = drill.sight.activity.sounding(drill.player.heard_position_s)
    if not drill.player.heard.is_alone:
        return sounding
    alone = drill.parts_alone
    return tuple(part for part in sounding if part in alone)


def _playhead(strip: Strip, drill: Drill) -> int:
    """Return how far the loop has come, in pixels of the waveform."""
    if drill.rep is None:
        return 0
    share = (drill.player.heard_position_s / drill.rep.excerpt.duration_s) % 1.0
    return min(strip.wave.w - 1, round(strip.wave.w * share))


def _made_share(session: Session) -> float:
    """Return how far the making of a rep is taken to have come, in a few hundred steps."""
    if session.waiting_since is None:
        return 0.0
    waited_s = (session.now() - session.waiting_since).total_seconds()
    return round(200 * min(1.0, waited_s / MAKING_S)) / 200


def _paint_making(canvas: Canvas, strip: Strip, share: float) -> None:
    canvas.panel(strip.whole, fill=canvas.theme.panel, edge=canvas.theme.line)
    inner = strip.whole.inflate(-2 * canvas.px(24), -2 * canvas.px(16))
    words = "Making the music for this rep: a few seconds."
    below = canvas.paragraph(words, inner, CARD) + canvas.px(6)
    height = max(canvas.px(14), 10)
    progress_bar(canvas, pygame.Rect(inner.left, min(below, inner.bottom - height), inner.w, height), share)
