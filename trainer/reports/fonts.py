"""The fonts: DejaVu Sans from matplotlib's data folder, found without importing it, and others for other scripts."""

import os
import sys
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from unicodedata import bidirectional, category, combining

FILES = {False: "DejaVuSans.ttf", True: "DejaVuSans-Bold.ttf"}
"""The font's files: plain, and bold."""
OTHER_SCRIPTS = (
    ("NotoSansCJK-Regular.ttc", "NotoSansCJKjp-Regular.otf", "NotoSansJP-Regular.ttf", "YuGothR.ttc",
     "msgothic.ttc", "Hiragino Sans GB.ttc"),
    ("NotoSansKR-Regular.ttf", "malgun.ttf", "AppleSDGothicNeo.ttc"),
    ("NotoSansSC-Regular.ttf", "msyh.ttc", "PingFang.ttc"),
    ("NotoSansDevanagari-Regular.ttf", "Nirmala.ttf"),
    ("NotoSansThai-Regular.ttf", "LeelawUI.ttf"),
    ("NotoSansHebrew-Regular.ttf",),
    ("NotoSansArabic-Regular.ttf",),
    ("NotoEmoji-Regular.ttf", "seguisym.ttf", "Apple Symbols.ttf"),
)  # fmt: skip
"""Files looked for, of each row the first that is installed, for names in a script DejaVu Sans lacks."""
RIGHT_TO_LEFT = ("R", "AL", "AN")
NARROW_SPACES = "\u00a0\u202f"
"""Spaces that keep a number's thousands and its unit together."""
BOX = "\u25a1"
"""Stands for a letter that no font has."""
UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Mn", "Me")
"""Categories of letters that are left out where no font has them: nothing of their own is to be seen."""
UNKNOWN_WIDTH = 1.0
"""What a letter of an unmeasured font takes, in parts of the size of type: a square, as in East Asian scripts."""


def font_folder() -> Path | None:
    """Return matplotlib's folder of fonts; None where there is none."""
    spec = find_spec("matplotlib")
    for place in (spec.submodule_search_locations if spec else None) or ():
        folder = Path(place) / "mpl-data" / "fonts" / "ttf"
        if (folder / FILES[False]).exists():
            return folder
    return None


def font_file(*, bold: bool = False) -> Path:
    """Return DejaVu Sans as a file."""
    folder = font_folder()
    if folder is None:
        raise FileNotFoundError("matplotlib's folder of fonts is missing: install matplotlib again")
    return folder / FILES[bold]


@lru_cache(maxsize=4)
def widths(*, bold: bool) -> dict[int, float]:
    """Return how wide each letter of DejaVu Sans is, in parts of the size of type."""
    from fontTools.ttLib import TTFont

    with TTFont(font_file(bold=bold), lazy=True) as font:
        unit, advances = font["head"].unitsPerEm, font["hmtx"].metrics
        return {code: advances[name][0] / unit for code, name in font.getBestCmap().items()}


@lru_cache(maxsize=20_000)
def width_in_ems(text: str, *, bold: bool = False) -> float:
    """Return how wide a line of text is, in parts of the size of type; of other scripts a guess."""
    known = widths(bold=bold)
    return sum(known.get(ord(letter), 0.0 if combining(letter) else UNKNOWN_WIDTH) for letter in text)


@lru_cache(maxsize=1)
def other_fonts() -> tuple[Path, ...]:
    """Return the files of installed fonts for other scripts; takes a while, so only where one is needed."""
    installed = {path.name: path for folder in _folders() for path in _files_below(folder)}
    rows = ([installed[name] for name in row if name in installed] for row in OTHER_SCRIPTS)
    return tuple(row[0] for row in rows if row)


@lru_cache(maxsize=1)
def other_letters() -> frozenset[int]:
    """Return the letters that the fonts for other scripts have."""
    from fontTools.ttLib import TTFont

    found: set[int] = set()
    for path in other_fonts():
        with TTFont(path, lazy=True, fontNumber=0) as font:
            found.update(font.getBestCmap() or ())
    return frozenset(found)


@lru_cache(maxsize=1)
def plain_letters() -> frozenset[str]:
    """Return the letters that DejaVu Sans has and that stand for something."""
    letters = map(chr, widths(bold=False))
    return frozenset(letter for letter in letters if letter.isprintable() or letter in NARROW_SPACES)


def is_plain(text: str) -> bool:
    """Say whether DejaVu Sans has every letter."""
    return plain_letters().issuperset(text)


@lru_cache(maxsize=20_000)
def is_simple(text: str) -> bool:
    """Say whether letters can stand one after the other, from left to right, in the one font."""
    return is_plain(text) and not any(
        bidirectional(letter) in RIGHT_TO_LEFT or combining(letter) for letter in text
    )


def drawable(text: str) -> str:
    """Return a text in letters that can be drawn: a box for one that no font has, a space for a control sign."""
    return text if is_plain(text) else "".join(map(_drawable, text))


def _drawable(letter: str) -> str:
    if letter in plain_letters():
        return letter
    if letter.isspace():
        return " "
    if category(letter) in UNSEEN:
        return ""
    return letter if ord(letter) in other_letters() else BOX


def _folders() -> tuple[Path, ...]:
    home = Path.home()
    if sys.platform == "win32":
        return (Path(os.environ.get("WINDIR", "C:/Windows")) / "Fonts",)
    if sys.platform == "darwin":
        return (Path("/System/Library/Fonts"), Path("/Library/Fonts"), home / "Library/Fonts")
    return (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), home / ".local/share/fonts")


def _files_below(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.[to]t[fc]")) if folder.is_dir() else []
