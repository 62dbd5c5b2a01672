"""The answer form on a page: lanes for a band, columns for sections and stems, rows for everything else."""

from trainer.ensemble.parts import PART_BY_KEY, SECTION_BY_KEY
from trainer.playback.sdl import pygame
from trainer.practice.fields import AmountField, DirectionField, Field
from trainer.practice.values import Value
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.form import Form, Group, Kind
from trainer.window.lanes import DIGITS, draw_ground, draw_names, names_height, tinted
from trainer.window.lanes import Field as Ground
from trainer.window.page import columns
from trainer.window.staging import stop_of
from trainer.window.theme import Colour
from trainer.window.typeface import BODY, CARD, SMALL

HASHES = tuple(
    (share, number % 2 == 0)
    for number, share in enumerate((0.155, 0.24, 0.33, 0.41, 0.59, 0.67, 0.76, 0.845))
)
COLUMNS_SHARE = 0.64
SIGNS = ("up", "down")


def draw_form(canvas: Canvas, body: pygame.Rect, form: Form) -> None:
    """Draw all groups: the first at the left where it is columns, the rows beside it or below each other."""
    first, rest = form.groups[0], form.groups[1:]
    if first.kind is Kind.ROW:
        _draw_rows(canvas, body, form, form.groups)
    elif not rest:
        _DRAWN[first.kind](canvas, body, form, first)
    else:
        left, right = columns(canvas, body, COLUMNS_SHARE)
        _DRAWN[first.kind](canvas, left, form, first)
        _draw_rows(canvas, right, form, rest)


def _draw_lanes(canvas: Canvas, body: pygame.Rect, form: Form, group: Group) -> None:
    field = Ground(pygame.Rect(body.left, body.top, body.w, body.h - names_height(canvas, with_digits=True)))
    bare = [number for number, column in enumerate(group.columns) if not column]
    halves = group.fields[1] if len(group.fields) > 1 else None
    draw_ground(canvas, field, hashes=HASHES, bare=bare)
    draw_names(canvas, field, digits=DIGITS, bare=bare)
    if halves is not None:
        middle = max(2, canvas.px(2))
        canvas.bar(
            pygame.Rect(field.rect.left, field.rect.centery - 1, field.rect.w, middle), canvas.theme.ink
        )
    for number, column in enumerate(group.columns):
        if column:
            _draw_lane(canvas, field.lane(number), form, group, column[0], halves)
    if halves is not None:
        _draw_half_names(canvas, field, halves, form, bare)
    _ring_group(canvas, field.rect, form, group)


def _draw_lane(
    canvas: Canvas, lane: pygame.Rect, form: Form, group: Group, band: Value, halves: Field | None
) -> None:
    key = group.fields[0].key
    is_here = form.picks.get(key) == band
    if halves is None:
        _cell(
            canvas, lane.inflate(-canvas.px(6), -canvas.px(6)), form, group, {key: band}, "", canvas.theme.ink
        )
        return
    if is_here and halves.key not in form.picks:
        canvas.panel(lane.inflate(-canvas.px(6), -canvas.px(6)), edge=canvas.theme.ink, width=2.5)
    for place, half in enumerate(halves.options):
        top = lane.top if place == 0 else lane.centery
        cell = pygame.Rect(lane.left, top, lane.w, lane.h // 2).inflate(-canvas.px(7), -canvas.px(9))
        _half(canvas, cell, form, group, {key: band, halves.key: half}, halves, place)


def _half(
    canvas: Canvas,
    cell: pygame.Rect,
    form: Form,
    group: Group,
    picks: dict[str, Value],
    halves: Field,
    place: int,
) -> None:
    tone = (canvas.theme.boost, canvas.theme.cut)[place]
    name = ":".join(map(str, picks.values()))
    is_chosen = all(form.picks.get(key) == value for key, value in picks.items())
    words = halves.label(halves.options[place])
    if is_chosen:
        canvas.panel(cell, fill=tinted(canvas, tone), edge=tone, width=3)
        canvas.sign(SIGNS[place], (cell.centerx, cell.centery - canvas.type_px(CARD)), 24, tone)
        at = (cell.centerx, cell.centery + canvas.type_px(CARD) // 2)
        canvas.write(words, at, CARD, colour=tone, bold=True, anchor="center", width=cell.w - canvas.px(8))
    elif canvas.hover == name:
        canvas.panel(cell, edge=tone, width=1.5)
        canvas.sign(SIGNS[place], cell.center, 18, tone)
    canvas.control(
        name, cell, Intent("pick", picks), f"{words} {picks[group.fields[0].key]}", stop=stop_of(group.key),
        chosen=is_chosen,
    )  # fmt: skip


def _draw_half_names(canvas: Canvas, field: Ground, halves: Field, form: Form, bare: list[int]) -> None:
    """Say which half is which, in the first lane, as long as nothing is picked there."""
    first = form.picks.get(form.group.key)
    lane = field.lane(0)
    for place, half in enumerate(halves.options):
        is_taken = first == 31.5 and form.picks.get(halves.key) == half and 0 not in bare
        if is_taken:
            continue
        y = lane.top + canvas.px(16) if place == 0 else lane.bottom - canvas.px(16)
        tone = (canvas.theme.boost, canvas.theme.cut)[place]
        canvas.sign(SIGNS[place], (lane.left + canvas.px(18), y), 11, tone)
        at = (lane.left + canvas.px(30), y)
        canvas.write(
            halves.label(half),
            at,
            SMALL,
            colour=canvas.theme.dim,
            anchor="midleft",
            width=lane.w - canvas.px(34),
        )


def _draw_columns(canvas: Canvas, body: pygame.Rect, form: Form, group: Group) -> None:
    one, stacks = group.fields[0], group.columns
    heads = any(value not in SECTION_BY_KEY for value in one.options)
    high = 2 * canvas.line_height(SMALL) + canvas.px(6) if heads else canvas.px(10)
    canvas.panel(body, fill=canvas.theme.panel, edge=canvas.theme.line)
    ground = Ground(body, count=len(stacks))
    rows = max(len(stack) for stack in stacks)
    for number, stack in enumerate(stacks):
        lane = ground.lane(number)
        if number % 2:
            canvas.bar(lane.inflate(0, -2 * canvas.px(8)), canvas.theme.lane)
        if heads:
            title = f"{number + 1} · {_section_title(stack[0])}"
            room = pygame.Rect(
                lane.left + canvas.px(8), lane.top + canvas.px(5), lane.w - canvas.px(12), high
            )
            canvas.paragraph(title, room, SMALL, colour=canvas.theme.dim)
        step = min((lane.h - high - canvas.px(8)) / rows, canvas.px(64) if heads else lane.h)
        for row, value in enumerate(stack):
            cell = pygame.Rect(lane.left, lane.top + high + round(row * step), lane.w, round(step))
            words = one.label(value) if heads else f"{number + 1} · {one.label(value)}"
            cell = cell.inflate(-canvas.px(8), -canvas.px(5))
            _cell(canvas, cell, form, group, {one.key: value}, words, canvas.theme.ink)
    _ring_group(canvas, body, form, group)


def _section_title(value: Value) -> str:
    part = PART_BY_KEY.get(str(value))
    return SECTION_BY_KEY[part.section].title if part else "others"


def _draw_rows(canvas: Canvas, body: pygame.Rect, form: Form, groups: tuple[Group, ...]) -> None:
    gap = canvas.px(10)
    height = (body.h - gap * (len(groups) - 1)) // len(groups)
    for number, group in enumerate(groups):
        rect = pygame.Rect(body.left, body.top + number * (height + gap), body.w, height)
        _draw_row(canvas, rect, form, group)


def _draw_row(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group) -> None:
    one = group.fields[0]
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.line)
    title = (rect.left + canvas.px(14), rect.top + canvas.px(7))
    unit = f", {one.unit}" if isinstance(one, AmountField) and not one.words else ""
    canvas.write(one.title + unit, title, SMALL, colour=canvas.theme.dim, width=rect.w - canvas.px(28))
    top = rect.top + canvas.px(9) + canvas.line_height(SMALL)
    room = pygame.Rect(
        rect.left + canvas.px(10), top, rect.w - canvas.px(20), rect.bottom - top - canvas.px(9)
    )
    width = room.w / len(one.options)
    for number, value in enumerate(one.options):
        cell = pygame.Rect(room.left + round(number * width), room.top, round(width), room.h)
        cell = cell.inflate(-canvas.px(6), 0)
        if isinstance(one, DirectionField):
            tone = (canvas.theme.boost, canvas.theme.cut)[min(number, 1)]
            _cell(
                canvas,
                cell,
                form,
                group,
                {one.key: value},
                one.label(value),
                tone,
                sign=SIGNS[min(number, 1)],
            )
        else:
            _cell(canvas, cell, form, group, {one.key: value}, one.label(value), canvas.theme.ink)
    _ring_group(canvas, rect, form, group)


def _cell(
    canvas: Canvas,
    rect: pygame.Rect,
    form: Form,
    group: Group,
    picks: dict[str, Value],
    words: str,
    tone: Colour,
    *,
    sign: str = "",
) -> None:
    """Draw one option of a group: outlined, and when it is chosen filled, framed and ticked."""
    name = f"{group.key}:{':'.join(map(str, picks.values()))}"
    is_chosen = all(form.picks.get(key) == value for key, value in picks.items())
    fill = tinted(canvas, tone) if is_chosen else canvas.pressable(name, canvas.theme.panel)
    canvas.panel(rect, fill=fill, edge=tone if is_chosen else canvas.theme.edge, width=3 if is_chosen else 1)
    room = rect.inflate(-canvas.px(14), -canvas.px(4))
    if sign:
        canvas.sign(sign, (rect.left + canvas.px(22), rect.centery), 18, tone)
        room.left, room.w = rect.left + canvas.px(40), rect.w - canvas.px(48)
    elif is_chosen:
        canvas.sign("right", (rect.right - canvas.px(12), rect.top + canvas.px(11)), 11, tone)
        room.w -= canvas.px(8)
    if words:
        height = canvas.height_of(words, room.w, BODY)
        text = pygame.Rect(room.left, 0, room.w, min(height, room.h))
        text.centery = rect.centery
        text.h = room.bottom - text.top
        canvas.paragraph(words, text, BODY, bold=is_chosen, anchor="centerx")
    intent = Intent("pick", picks)
    canvas.control(name, rect, intent, words or name, stop=stop_of(group.key), chosen=is_chosen)


def _ring_group(canvas: Canvas, rect: pygame.Rect, form: Form, group: Group) -> None:
    """Show the keyboard's focus on a group: around all of it."""
    if canvas.focus == stop_of(group.key) and len(form.groups) > 1:
        canvas.ring(rect)


_DRAWN = {Kind.LANES: _draw_lanes, Kind.COLUMNS: _draw_columns}
