"""Names of learners: free text in any script, as long as it can be kept and shown (Unicode, UAX 15: form NFC)."""

from functools import lru_cache
from unicodedata import category, normalize

from trainer.refusal import Refused

JOINERS = frozenset("\u200c\u200d") | frozenset(map(chr, range(0xE0020, 0xE0080)))
"""What joins letters (Persian, Hindi) and pictures (a black bird, a flag) and is not seen by itself."""


def learner_name(name: str) -> str:
    """Return a learner's name, fit to be kept, its letters composed: ``é`` is one letter however it was typed.

    Raises
    ------
    Refused
        If it is empty, holds control characters, or is no valid Unicode (a terminal of another encoding).
    """
    kept = one_line(name, what="name")
    if not folded(kept):
        raise _unusable("name", name)
    return kept


def one_line(text: str, *, what: str) -> str:
    """Return free text of one line, which may be empty, stripped and composed; ``what`` it is, for the refusal."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        shown = text.encode("utf-8", "backslashreplace").decode("utf-8")
        raise Refused(
            f"the {what} {shown!r} is not valid UTF-8: is the terminal set to another encoding?"
        ) from None
    kept = normalize("NFC", text.strip())
    if not all(letter.isprintable() or category(letter) == "Zs" or letter in JOINERS for letter in kept):
        raise _unusable(what, text)
    return kept


@lru_cache(maxsize=4096)
def folded(name: str) -> str:
    """Return what names that look alike have in common: case, width, spaces and joiners are of no account."""
    seen = "".join(letter for letter in normalize("NFKC", name).casefold() if letter not in JOINERS)
    return " ".join(normalize("NFKC", seen).split())


def _unusable(what: str, text: str) -> Refused:
    allowed = "a name has at least one letter and" if what == "name" else f"a {what} has"
    return Refused(f"the {what} {text!r} cannot be used: {allowed} no control characters")
