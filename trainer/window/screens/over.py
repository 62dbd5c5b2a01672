"""What lies over a page: the keys, a pause, a break, the question whether to leave."""

from trainer.playback.care import BREAK_AFTER_S
from trainer.playback.sdl import pygame
from trainer.window.canvas import Canvas
from trainer.window.control import Intent
from trainer.window.keys import BINDINGS, EVERYWHERE, Binding
from trainer.window.session import Session
from trainer.window.state import Over
from trainer.window.typeface import BODY, CARD, HEADING, SMALL
from trainer.window.widgets import button, button_height, key_cap

VEIL_SHARE = 0.78


def draw(canvas: Canvas, session: Session) -> None:
    """Draw what lies over the page, in place of all that can be pressed below it."""
    if session.over is None:
        return
    whole = canvas.surface.get_rect()
    canvas.bar(whole, canvas.theme.ground, share=VEIL_SHARE)
    canvas.controls.clear()
    canvas.written.clear()
    canvas.lives.clear()
    if session.over is Over.KEYS:
        _draw_keys(canvas, whole, session)
    else:
        _draw_question(canvas, whole, *_QUESTIONS[session.over](session))


Ways = tuple[tuple[str, str, Intent], ...]
"""Words, key cap, and what is asked for."""


def _pause(session: Session) -> tuple[str, str, Ways]:
    block = session.drill.block if session.drill is not None else None
    is_quiz = block is not None and block.is_quiz
    done = len(block.marks) if block is not None else 0
    count = block.count if block is not None else 0
    things = "items" if is_quiz else "reps"
    words = (
        f"{done} of {count} {things} are answered and kept. If you leave, you can go on from here next time."
    )
    words = words if done else "Nothing is answered yet: leaving loses nothing."
    ways = (
        ("Go on", "Enter", Intent("resume")),
        (f"Leave the {'quiz' if is_quiz else 'block'} for now", "L", Intent("leave block")),
    )
    return "Paused", words, ways


def _break(_: Session) -> tuple[str, str, Ways]:
    words = (
        f"You have been listening for {BREAK_AFTER_S / 60:.0f} minutes: a good moment for a break. Ears tire before "
        "they tell you. Everything answered is kept."
    )
    ways = (("Go on", "Enter", Intent("resume")), ("Leave it for now", "L", Intent("leave block")))
    return "Time for a break", words, ways


def _leave(_: Session) -> tuple[str, str, Ways]:
    ways = (("Leave", "Enter", Intent("quit")), ("Stay", "Esc", Intent("resume")))
    return "Leave Yardline?", "Everything you answered is kept.", ways


_QUESTIONS = {Over.PAUSE: _pause, Over.BREAK: _break, Over.LEAVE: _leave}


def _draw_question(canvas: Canvas, whole: pygame.Rect, title: str, words: str, ways: Ways) -> None:
    wide = min(whole.w - canvas.px(48), canvas.px(560 * max(1.0, 0.8 * canvas.text_scale)))
    pad, high = canvas.px(28), button_height(canvas)
    room = wide - 2 * pad
    text = canvas.height_of(words, room, BODY)
    buttons = len(ways) * (high + canvas.px(10))
    rect = pygame.Rect(0, 0, wide, 2 * pad + canvas.line_height(HEADING) + text + buttons + canvas.px(20))
    rect.center = whole.center
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.edge, width=1.5)
    canvas.write(title, (rect.left + pad, rect.top + pad), HEADING, bold=True, width=room)
    y = rect.top + pad + canvas.line_height(HEADING) + canvas.px(6)
    y = canvas.paragraph(words, pygame.Rect(rect.left + pad, y, room, text), BODY) + canvas.px(14)
    for number, (said, cap, intent) in enumerate(ways):
        place = pygame.Rect(rect.left + pad, y, room, high)
        button(canvas, place, said, intent, cap=cap, is_first=number == 0, size=CARD)
        y += high + canvas.px(10)


def _draw_keys(canvas: Canvas, whole: pygame.Rect, session: Session) -> None:
    """Draw the keys of the page below, and those that work everywhere, in two columns."""
    there = [binding for binding in BINDINGS.get(session.place, ()) if binding.when(session)]
    bindings = _told_once((*there, *EVERYWHERE), session)
    rect = whole.inflate(-canvas.px(120), -canvas.px(80))
    canvas.panel(rect, fill=canvas.theme.panel, edge=canvas.theme.edge, width=1.5)
    inner = rect.inflate(-canvas.px(56), -canvas.px(40))
    canvas.write("Keys here", inner.topleft, HEADING, bold=True)
    high = button_height(canvas, BODY)
    close = pygame.Rect(0, inner.top, canvas.px(110) + canvas.width_of("Close", BODY, bold=True), high)
    close.right = inner.right
    button(canvas, close, "Close", Intent("resume"), cap="Esc")
    top = inner.top + max(high, canvas.line_height(HEADING)) + canvas.px(12)
    per_column = (len(bindings) + 1) // 2
    step = min(canvas.type_px(BODY) + canvas.px(24), (inner.bottom - top) // per_column)
    wide = inner.w // 2
    for number, (cap_words, words) in enumerate(bindings):
        x = inner.left + (number // per_column) * wide
        y = top + (number % per_column) * step + step // 2
        cap = key_cap(canvas, cap_words, (x, y))
        at = (cap.right + canvas.px(12), y)
        room = wide - cap.w - canvas.px(24)
        canvas.write(words, at, SMALL if step < high else BODY, anchor="midleft", width=room)


def _told_once(bindings: tuple[Binding, ...], session: Session) -> list[tuple[str, str]]:
    """Return the bindings' caps and words, without those that say the same again."""
    return list(dict.fromkeys((binding.cap, binding.words_for(session)) for binding in bindings))
