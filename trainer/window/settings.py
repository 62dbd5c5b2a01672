"""Settings of the window, in a TOML file beside the store: who was here last, and how they like to see it."""

import contextlib
import tomllib
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

from trainer.practice.sitting import BLOCK_MINUTES
from trainer.window.theme import THEMES

FILE_NAME = "window.toml"
TEXT_SIZES = (100, 125, 150, 175)
"""Per cent."""


@dataclass(frozen=True, slots=True)
class Settings:
    """What the window remembers.

    Attributes
    ----------
    learner
        Who was here last; empty before anybody was.
    theme
        ``night`` or ``day``.
    text_percent
        One of ``TEXT_SIZES``.
    show
        The key of the show that is drilled on.
    device
        The sound device's name; empty for the default one.
    block_minutes
        How long a block is, one of ``BLOCK_MINUTES``.
    quick_flips
        Whether flips are heard sooner, at the risk of gaps on a busy machine.
    """

    learner: str = ""
    theme: str = "night"
    text_percent: int = 100
    show: str = "field-show"
    device: str = ""
    block_minutes: int = 8
    quick_flips: bool = False
    full_screen: bool = False

    def with_text(self, step: int) -> "Settings":
        """Return the settings with text a step larger or smaller, where there is one."""
        place = TEXT_SIZES.index(self.text_percent) + step
        return replace(self, text_percent=TEXT_SIZES[min(max(place, 0), len(TEXT_SIZES) - 1)])


def load_settings(folder: Path) -> Settings:
    """Return the settings of a folder; what is missing, damaged or unknown there is as at first."""
    try:
        found = tomllib.loads((folder / FILE_NAME).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Settings()
    return Settings(**{field.name: found[field.name] for field in fields(Settings) if _is_fit(field, found)})


def save_settings(folder: Path, settings: Settings) -> None:
    """Keep the settings; where that cannot be, they last until the window closes."""
    import tomli_w

    with contextlib.suppress(OSError):
        folder.mkdir(parents=True, exist_ok=True)
        beside = folder / f".{FILE_NAME}"
        beside.write_text(tomli_w.dumps(asdict(settings)), encoding="utf-8")
        beside.replace(folder / FILE_NAME)


def _is_fit(field: Any, found: dict[str, Any]) -> bool:
    value = found.get(field.name)
    allowed: dict[str, Any] = {"theme": THEMES, "text_percent": TEXT_SIZES, "block_minutes": BLOCK_MINUTES}
    return type(value) is type(field.default) and value in allowed.get(field.name, (value,))
