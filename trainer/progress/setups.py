"""Setups: what a learner listens on, which octave bands it can play, and how loud it is; kept with the learner."""

import json
import math
from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from typing import Any

from trainer.practice.band_scale import OCTAVE_SCALE, band_label
from trainer.practice.listening import (
    HIGHEST_THRESHOLD_DB_SPL,
    LOUDEST_DB_SPL,
    QUIETEST_DB_SPL,
    STANDARD,
    STANDARD_LEVEL_DB_SPL,
    Listening,
    usable_bands,
)
from trainer.practice.setup_check import level_among_octaves_db
from trainer.progress.store import Store
from trainer.refusal import Refused

SETUPS_SETTING = "setups"
CHOSEN_SETTING = "setup"
LONGEST_NAME = 40
WEIGHTINGS = ("A", "C", "")
A_WEIGHTED_BELOW_DB = 2.6
"""By how much programme (IEC 60268-1:1985, table II) reads less with A weighting than without."""
QUIETEST_READING_DB, LOUDEST_READING_DB = 20.0, 130.0


@dataclass(frozen=True, slots=True)
class Calibration:
    """What a sound level meter read at the ear: ``reads_db`` at the listening level ``level_db``."""

    level_db: float
    reads_db: float
    weighting: str

    def __post_init__(self) -> None:
        if self.weighting not in WEIGHTINGS:
            raise Refused(f"a meter's weighting is A or C (or unknown), not {self.weighting!r}")
        if not QUIETEST_READING_DB <= self.reads_db <= LOUDEST_READING_DB:
            raise Refused(
                f"a reading of {self.reads_db:g} dB is no listening level: a meter reads "
                f"{QUIETEST_READING_DB:g} to {LOUDEST_READING_DB:g} dB there"
            )
        if not math.isfinite(self.level_db):
            raise ValueError(f"a listening level is a number, not {self.level_db}")


@dataclass(frozen=True, slots=True)
class Setup:
    """What is listened on.

    Attributes
    ----------
    name
        What the learner calls it; attempts carry it.
    device
        The sound device it was checked on; empty for the default one.
    usable_hz
        The octave bands it can play, nominal hertz, low to high.
    checked_at
        When that was found out (UTC).
    heard_below_db
        How far from its level in programme (dB, below 0) each of the ten bands was first heard; empty where the check
        did not tell.
    """

    name: str
    device: str
    usable_hz: tuple[float, ...]
    checked_at: datetime
    calibration: Calibration | None = None
    heard_below_db: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "usable_hz", usable_bands(self.usable_hz))
        object.__setattr__(self, "name", setup_name(self.name))
        if self.checked_at.tzinfo is None:
            raise ValueError(f"a setup was checked at a time with its zone, not at {self.checked_at}")

    @property
    def missing_hz(self) -> tuple[float, ...]:
        """The octave bands it cannot play."""
        return tuple(band_hz for band_hz in OCTAVE_SCALE.names_hz if band_hz not in self.usable_hz)

    def reading_db(self, level_db: float) -> float | None:
        """Return what a meter would read at a listening level; None where it was never calibrated."""
        calibration = self.calibration
        return None if calibration is None else calibration.reads_db + level_db - calibration.level_db


def setup_name(typed: str) -> str:
    """Return a setup's name as it is kept; `Refused` if it is none."""
    name = " ".join(typed.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise Refused(f"a setup's name has 1 to {LONGEST_NAME} letters in one line, not {typed!r}")
    return name


def to_text(setups: Iterable[Setup]) -> str:
    """Return setups as JSON."""
    plain = [asdict(setup) | {"checked_at": setup.checked_at.isoformat()} for setup in setups]
    return json.dumps(plain, ensure_ascii=False, allow_nan=False)


def from_text(text: str) -> tuple[Setup, ...]:
    """Return the setups of a text that `to_text` made.

    Raises
    ------
    ValueError
        If it is the text of no setups (`Refused` is none of it: the text is ours, not a user's).
    """
    try:
        return tuple(map(_setup, json.loads(text)))
    except (KeyError, TypeError, AttributeError, Refused) as why:
        raise ValueError(f"{text!r} holds no setups: {why}") from why


def _setup(plain: Any) -> Setup:
    calibration = plain["calibration"]
    return Setup(
        name=str(plain["name"]),
        device=str(plain["device"]),
        usable_hz=tuple(map(float, plain["usable_hz"])),
        checked_at=datetime.fromisoformat(plain["checked_at"]),
        calibration=None if calibration is None else Calibration(**calibration),
        heard_below_db=tuple(map(float, plain.get("heard_below_db", ()))),
    )


def setups_of(store: Store, learner: str) -> tuple[Setup, ...]:
    """Return a learner's setups, in the order they were made; none where what is kept cannot be read."""
    text = str(store.settings.get(learner, SETUPS_SETTING, "") or "[]")
    try:
        return from_text(text)
    except ValueError:
        return ()


def chosen_setup(store: Store, learner: str) -> Setup | None:
    """Return the setup a learner listens on, or None where they never said."""
    name = store.settings.get(learner, CHOSEN_SETTING, "")
    return next((setup for setup in setups_of(store, learner) if setup.name == name), None)


def listening_on(setup: Setup | None, *, level_db: float) -> Listening:
    """Return what is assumed of a setup at a listening level; the standard listening where none was named.

    A meter's reading with A weighting is brought to one without. The thresholds that its check found are those of the
    bands' levels in programme; without a calibration the programme is taken to be at its standard level.
    """
    if setup is None:
        return STANDARD
    calibration, reading_db = setup.calibration, setup.reading_db(level_db)
    level_db_spl = float(STANDARD_LEVEL_DB_SPL)
    if calibration is not None and reading_db is not None:
        level_db_spl = reading_db + (A_WEIGHTED_BELOW_DB if calibration.weighting == "A" else 0.0)
    level_db_spl = min(max(level_db_spl, QUIETEST_DB_SPL), LOUDEST_DB_SPL)
    thresholds = tuple(
        min(level_db_spl + level_among_octaves_db(band_hz) + below_db, HIGHEST_THRESHOLD_DB_SPL)
        for band_hz, below_db in zip(OCTAVE_SCALE.names_hz, setup.heard_below_db, strict=False)
    )
    return Listening(level_db_spl, setup.usable_hz, thresholds)


def keep_setup(store: Store, learner: str, setup: Setup) -> None:
    """Keep a setup, in place of one of the same name, and choose it."""
    others = [other for other in setups_of(store, learner) if other.name != setup.name]
    store.settings.set(learner, SETUPS_SETTING, to_text([*others, setup]))
    choose_setup(store, learner, setup.name)


def calibrate_setup(store: Store, learner: str, name: str, calibration: Calibration) -> Setup:
    """Keep what a meter read on a setup, and return the setup."""
    changed = replace(setup_named(store, learner, name), calibration=calibration)
    setups = [changed if setup.name == changed.name else setup for setup in setups_of(store, learner)]
    store.settings.set(learner, SETUPS_SETTING, to_text(setups))
    return changed


def choose_setup(store: Store, learner: str, name: str) -> Setup:
    """Choose the setup a learner listens on, and return it."""
    setup = setup_named(store, learner, name)
    store.settings.set(learner, CHOSEN_SETTING, setup.name)
    return setup


def forget_setup(store: Store, learner: str, name: str) -> None:
    """Forget a setup; the answers given on it stay."""
    gone = setup_named(store, learner, name)
    left = [setup for setup in setups_of(store, learner) if setup.name != gone.name]
    store.settings.set(learner, SETUPS_SETTING, to_text(left))


def setup_named(store: Store, learner: str, name: str) -> Setup:
    """Return a learner's setup; `Refused` if there is none of this name."""
    setups = setups_of(store, learner)
    found = next((setup for setup in setups if setup.name == name), None)
    if found is None:
        there = ", ".join(repr(setup.name) for setup in setups)
        known = f"there are {there}" if setups else "there is none yet: `yardline setup check` makes one"
        raise Refused(f"{learner} has no setup {name!r}; {known}")
    return found


def bands_words(usable_hz: tuple[float, ...]) -> str:
    """Return which octave bands a setup plays, in words: from where to where, and what is missing between."""
    if usable_hz == OCTAVE_SCALE.names_hz:
        return "all ten octave bands"
    low, high = OCTAVE_SCALE.place(usable_hz[0]), OCTAVE_SCALE.place(usable_hz[-1])
    gaps = [band_label(band_hz) for band_hz in OCTAVE_SCALE.names_hz[low:high] if band_hz not in usable_hz]
    words = f"{band_label(usable_hz[0])} to {band_label(usable_hz[-1])}"
    return f"{words} but {', '.join(gaps)}" if gaps else words
