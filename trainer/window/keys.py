"""The keys: what each does where, as one table; the foot of a page and the page of keys are drawn from it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from trainer.playback.player import Version
from trainer.window.control import Intent
from trainer.window.form import Form
from trainer.window.groups import Kind
from trainer.window.session import Session
from trainer.window.state import Over, Place

DIGITS = tuple("1234567890")
ARROWS = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}

IntentOf = Callable[[str], Intent]
When = Callable[[Session], bool]
WordsOf = Callable[[Session], str]


def _always(_: Session) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Binding:
    """Some keys, what is written on them, what they do, and when they do.

    ``in_foot`` says whether the foot line shows it; a binding with one meaning can be pressed there too.
    """

    keys: tuple[str, ...]
    cap: str
    words: str | WordsOf
    intent: Intent | IntentOf
    when: When = _always
    in_foot: bool = True

    def intent_of(self, key: str) -> Intent:
        """Return what a key of it asks for."""
        return self.intent if isinstance(self.intent, Intent) else self.intent(key)

    def words_for(self, session: Session) -> str:
        """Return what they do here and now, in words."""
        return self.words if isinstance(self.words, str) else self.words(session)


def _digit(key: str) -> Intent:
    return Intent("digit", int(key))


def _arrow(key: str) -> Intent:
    return Intent("arrow", ARROWS[key])


def _arrow_far(key: str) -> Intent:
    return Intent("arrow far", ARROWS[key.removeprefix("shift ")])


def _row_of_sheet(key: str) -> Intent:
    return Intent("form", ("step row", ARROWS[key.removeprefix("shift ")][1]))


def _form_of(session: Session) -> Form | None:
    return session.drill.form if session.drill is not None else None


def _is_in(kind: Kind, *, halves: bool | None = None) -> When:
    def here(session: Session) -> bool:
        form = _form_of(session)
        group = form.innermost.group if form is not None else None
        if group is None or group.kind is not kind:
            return False
        return halves is None or halves == (group.halves is not None)

    return here


def _is_fan(*, is_open: bool) -> When:
    def here(session: Session) -> bool:
        form = _form_of(session)
        return (
            form is not None
            and form.innermost.group.kind is Kind.FAN
            and (form.innermost.opened is not None) == is_open
        )

    return here


def _is_on_sheet(session: Session) -> bool:
    form = _form_of(session)
    return form is not None and form.sheet is not None


def _has_sheet(session: Session) -> bool:
    form = _form_of(session)
    return form is not None and bool(form.sheets)


def _has_rows_of_sheet(session: Session) -> bool:
    form = _form_of(session)
    return form is not None and form.sheet is not None and len(form.sheet.rows) > 1


def _is_ready(session: Session) -> bool:
    return _form_of(session) is not None


def _is_ready_without_sheet(session: Session) -> bool:
    return _is_ready(session) and not _is_on_sheet(session)


def _has_more_groups(session: Session) -> bool:
    form = _form_of(session)
    return form is not None and len(form.stops) > 1


def _has_yours(session: Session) -> bool:
    return session.drill is not None and session.drill.is_yours_ready


def _has_alone(session: Session) -> bool:
    return session.drill is not None and session.drill.is_alone_ready and not session.player.where


def _only_words(session: Session) -> str:
    return session.drill.only_words if session.drill is not None else ""


def _is_quiz(session: Session) -> bool:
    return session.drill is not None and session.drill.quiz is not None


def _is_drill_ready(session: Session) -> bool:
    return _is_ready(session) and not _is_quiz(session)


def _is_item_ready(session: Session) -> bool:
    return _is_ready(session) and _is_quiz(session)


def _is_begun(session: Session) -> bool:
    chosen = session.quizzes.chosen
    return chosen is not None and chosen.begun is not None


def _is_to_take(session: Session) -> bool:
    return session.quizzes.chosen is not None and not _is_begun(session)


def _is_taken(session: Session) -> bool:
    chosen = session.quizzes.chosen
    return chosen is not None and chosen.whole is not None


def _has_rows(session: Session) -> bool:
    return session.listing is not None and session.listing.count > 1


def _has_pages(session: Session) -> bool:
    return session.listing is not None and session.listing.pages(session.text_scale) > 1


def _row(key: str) -> Intent:
    return Intent("row", ARROWS[key][1])


def _page(key: str) -> Intent:
    return Intent("page", 1 if key in ("pagedown", "right", "down") else -1)


def _has_chosen_member(session: Session) -> bool:
    return session.roster.chosen is not None


def _sort_by_band(key: str) -> Intent:
    return Intent("sort", DIGITS.index(key))


def _exercise_at(key: str) -> Intent:
    return Intent("only", int(key) - 1)


_LEVEL = (
    Binding(("+", "="), "+ −", "louder, softer", Intent("level", 1), in_foot=False),
    Binding(("-",), "+ −", "louder, softer", Intent("level", -1), in_foot=False),
)
_ROWS = Binding(("up", "down"), "↑ ↓", "choose", _row, _has_rows)
_PAGES = Binding(("pagedown", "pageup", "left", "right"), "← →", "pages", _page, _has_pages)
_KEYS = Binding(("?",), "?", "keys", Intent("keys"))
_BACK = Binding(("escape",), "Esc", "back", Intent("back"))
_ANY_ARROW = tuple(ARROWS)
_SHIFTED = tuple(f"shift {key}" for key in ARROWS)

BINDINGS: dict[Place | Over, tuple[Binding, ...]] = {
    Place.LEARNERS: (
        Binding(("return",), "Enter", "that is me", Intent("accept name")),
        Binding(("backspace",), "⌫", "erase", Intent("erase"), in_foot=False),
        _BACK,
    ),
    Place.SETUP: (
        Binding(("+", "=", "up"), "+", "louder", Intent("level", 1)),
        Binding(("-", "down"), "−", "softer", Intent("level", -1)),
        Binding(("return",), "Enter", "that is comfortable", Intent("back")),
        _BACK,
        _KEYS,
    ),
    Place.TODAY: (
        Binding(("return",), "Enter", "start", Intent("start"), lambda s: s.blocks.to_go_on is None),
        Binding(("return",), "Enter", "go on", Intent("start"), lambda s: s.blocks.to_go_on is not None),
        Binding(
            ("n",), "N", "start afresh", Intent("start new", ()), lambda s: s.blocks.to_go_on is not None
        ),
        Binding(
            ("m",),
            "M",
            "other length",
            Intent("other length"),
            lambda s: s.blocks.to_go_on is None,
            in_foot=False,
        ),
        Binding(("q",), "Q", "quizzes", Intent("go", Place.QUIZZES), in_foot=False),
        Binding(("r",), "R", "roster", Intent("go", Place.ROSTER), in_foot=False),
        Binding(("w",), "W", "the season's weeks", Intent("go", Place.SEASON), in_foot=False),
        Binding(("p",), "P", "progress", Intent("go", Place.PROGRESS)),
        Binding(("s",), "S", "setup", Intent("go", Place.SETUP)),
        Binding(("l",), "L", "learner", Intent("go", Place.LEARNERS)),
        Binding(("escape",), "Esc", "leave", Intent("back")),
        Binding(DIGITS[:9], "1–9", "one exercise only", _exercise_at),
        _KEYS,
    ),
    Place.REP: (
        Binding(("space",), "Space", "flip", Intent("flip"), _is_ready),
        Binding(DIGITS, "1–0", "lane", _digit, _is_in(Kind.LANES)),
        Binding(DIGITS, "1–9", "column, again: the next in it", _digit, _is_in(Kind.COLUMNS)),
        Binding(DIGITS, "1–9", "choice", _digit, _is_in(Kind.ROW)),
        Binding(_ANY_ARROW, "↑ ↓", "boost, cut", _arrow, _is_in(Kind.LANES, halves=True)),
        Binding(_ANY_ARROW, "← →", "lane", _arrow, _is_in(Kind.LANES, halves=False)),
        Binding(DIGITS, "1–0", "octave", _digit, _is_fan(is_open=False)),
        Binding(DIGITS, "1–3", "third", _digit, _is_fan(is_open=True)),
        Binding(("left", "right"), "← →", "next third", _arrow, _is_in(Kind.FAN)),
        Binding(("up", "down"), "↑ ↓", "boost, cut", _arrow, _is_in(Kind.FAN, halves=True)),
        Binding(
            ("backspace",),
            "Backspace",
            "another octave",
            Intent("form", ("close lane",)),
            _is_fan(is_open=True),
        ),
        Binding(_ANY_ARROW, "← ↑ ↓ →", "move", _arrow, _is_in(Kind.COLUMNS)),
        Binding(_ANY_ARROW, "← →", "move", _arrow, _is_in(Kind.ROW)),
        Binding(_ANY_ARROW, "← →", "move", _arrow, _is_in(Kind.SLIDER)),
        Binding(_SHIFTED, "Shift ← →", "larger steps", _arrow_far, _is_in(Kind.SLIDER)),
        Binding(("0",), "0", "back", _digit, _is_in(Kind.SLIDER)),
        Binding(("return",), "Enter", "next row", Intent("form", ("next row",)), _is_on_sheet),
        Binding(("ctrl return", "ctrl enter"), "Ctrl Enter", "answer", Intent("answer"), _has_sheet),
        Binding(
            ("shift up", "shift down"),
            "Shift ↑ ↓",
            "row",
            _row_of_sheet,
            _has_rows_of_sheet,
        ),
        Binding(("delete", "x"), "Del", "remove the row", Intent("form", ("remove row",)), _is_on_sheet),
        Binding(("return",), "Enter", "answer", Intent("answer"), _is_ready_without_sheet),
        Binding(("tab",), "Tab", "on to the next", Intent("tab"), _has_more_groups),
        Binding(("escape",), "Esc", "pause", Intent("back")),
        Binding(("g",), "G", "give up", Intent("give up"), _is_drill_ready),
        Binding(("g",), "G", "no answer", Intent("give up"), _is_item_ready),
        Binding(("r",), "R", "from the start", Intent("restart"), _is_ready),
        *_LEVEL,
        _KEYS,
    ),
    Place.REVEAL: (
        Binding(("return",), "Enter", "next", Intent("next")),
        Binding(("space",), "Space", "flip plain, changed", Intent("flip")),
        Binding(("p",), "P", "plain", Intent("hear", Version.PLAIN), in_foot=False),
        Binding(("c",), "C", "changed", Intent("hear", Version.CHANGED), in_foot=False),
        Binding(("a",), "A", "what you said", Intent("hear", Version.YOURS), _has_yours),
        Binding(("w",), "W", _only_words, Intent("alone"), _has_alone),
        Binding(("escape",), "Esc", "pause", Intent("back")),
        Binding(("r",), "R", "from the start", Intent("restart")),
        *_LEVEL,
        _KEYS,
    ),
    Place.SUMMARY: (
        Binding(("return",), "Enter", "done", Intent("done")),
        Binding(("n",), "N", "another block", Intent("start new", ())),
        Binding(("p",), "P", "progress", Intent("go", Place.PROGRESS)),
        _KEYS,
    ),
    Place.QUIZZES: (
        Binding(("return",), "Enter", "go on with it", Intent("take quiz"), _is_begun),
        Binding(("return",), "Enter", "take it", Intent("take quiz"), _is_to_take),
        _ROWS,
        Binding(("v",), "V", "your result", Intent("quiz result"), _is_taken),
        _PAGES,
        _BACK,
        _KEYS,
    ),
    Place.ROSTER: (
        Binding(("return",), "Enter", "let them drill", Intent("choose member"), _has_chosen_member),
        _ROWS,
        _PAGES,
        _BACK,
        Binding(DIGITS, "1–0", "sort by a band", _sort_by_band),
        Binding(("n",), "N", "by name, by role", Intent("sort", "name")),
        _KEYS,
    ),
    Place.SEASON: (_BACK, Binding(("return",), "Enter", "back", Intent("back"), in_foot=False), _KEYS),
    Place.RESULT: (
        Binding(("return",), "Enter", "done", Intent("back")),
        Binding((*_PAGES.keys, "up", "down"), _PAGES.cap, "pages", _page, _has_pages),
        _BACK,
        _KEYS,
    ),
    Place.PROGRESS: (_BACK, Binding(("return",), "Enter", "back", Intent("back"), in_foot=False), _KEYS),
    Over.KEYS: (Binding(("escape", "?", "return"), "Esc", "close", Intent("resume")),),
    Over.PAUSE: (
        Binding(("return", "escape", "space"), "Enter", "go on", Intent("resume")),
        Binding(("l",), "L", "leave the block for now", Intent("leave block")),
        *_LEVEL,
    ),
    Over.BREAK: (
        Binding(("return", "escape"), "Enter", "go on", Intent("resume")),
        Binding(("l",), "L", "leave it for now", Intent("leave block")),
    ),
    Over.LEAVE: (
        Binding(("return",), "Enter", "leave", Intent("quit")),
        Binding(("escape",), "Esc", "stay", Intent("resume")),
    ),
}
"""What the keys do, page by page; what lies over a page has the keys to itself."""

EVERYWHERE: tuple[Binding, ...] = (
    Binding(("f9",), "F9", "night, day", Intent("light"), in_foot=False),
    Binding(("f11",), "F11", "full screen", Intent("full screen"), in_foot=False),
    Binding(("ctrl +", "ctrl ="), "Ctrl +", "larger text", Intent("text", 1), in_foot=False),
    Binding(("ctrl -",), "Ctrl −", "smaller text", Intent("text", -1), in_foot=False),
)


def here(session: Session) -> Iterator[Binding]:
    """Yield the bindings that work here and now."""
    there = session.over if session.over is not None else session.place
    yield from (binding for binding in BINDINGS.get(there, ()) if binding.when(session))


def intent_for(session: Session, key: str) -> Intent | None:
    """Return what a key asks for here and now, or None."""
    bindings = (*here(session), *EVERYWHERE)
    return next((binding.intent_of(key) for binding in bindings if key in binding.keys), None)
