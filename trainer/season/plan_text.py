"""The season plan as TOML, for staff to edit, and in the store."""

import json
import tomllib
from collections.abc import Mapping
from datetime import date, datetime
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import tomli_w

from trainer.practice.band_scale import OCTAVE_SCALE
from trainer.progress.files import replacing
from trainer.progress.records import record_of
from trainer.progress.store import Store
from trainer.refusal import Refused
from trainer.season.plan import WEEKDAYS, Aims, SeasonPlan, ShowDay, usual_plan

PLAN_KIND, PLAN_KEY = "plan", "season"

Keys = Mapping[str, type | tuple[type, ...]]
KEYS: Keys = {
    "title": str,
    "starts": date,
    "ends": date,
    "rehearsals": list,
    "block_minutes": int,
    "show": list,
    "aims": list,
}
SHOW_KEYS: Keys = {"date": date, "name": str}
AIMS_KEYS: Keys = {"week": int, "db": (list, int, float)}


def to_toml(plan: SeasonPlan) -> str:
    """Return a plan as TOML; `from_toml` gives it again."""
    return _HEAD + tomli_w.dumps(_plain(plan)) + "".join(map(_aims_text, plan.aims))


def from_toml(text: str) -> SeasonPlan:
    """Return the plan of a TOML text.

    Raises
    ------
    Refused
        If it is no TOML, or says what cannot be; the message says what, and the likely slip.
    """
    try:
        said = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Refused(f"it is no TOML: {error}") from error
    _checked(said, KEYS, "the plan")
    if "starts" not in said:
        raise Refused("the plan says no day it starts on, as in: starts = 2031-01-06")
    shows = [_show(one, place) for place, one in enumerate(said.get("show", []), 1)]
    usual = usual_plan(said["starts"], ends_on=said.get("ends"))
    aims = tuple(_aims(one, place) for place, one in enumerate(said.get("aims", []), 1)) or usual.aims
    return SeasonPlan(
        title=said.get("title", usual.title),
        starts_on=usual.starts_on,
        ends_on=usual.ends_on,
        rehearsals=_weekdays(said["rehearsals"]) if "rehearsals" in said else usual.rehearsals,
        shows=tuple(sorted(shows)),
        aims=aims,
        block_minutes=said.get("block_minutes", usual.block_minutes),
    )


def plan_of(store: Store) -> SeasonPlan | None:
    """Return the plan that is kept; None where there is none."""
    records = store.records.of_kind(PLAN_KIND)
    if not records:
        return None
    try:
        return from_toml(str(json.loads(records[0].body)["toml"]))
    except (Refused, KeyError) as why:
        raise Refused(
            f"the season plan in {store.name} was kept by another version of this program ({why}): update it, or "
            "put another plan in its place with `yardline season load FILE`"
        ) from why


def keep_plan(store: Store, plan: SeasonPlan, *, now: datetime) -> None:
    """Keep a plan in place of the one there is."""
    store.records.put([record_of(PLAN_KIND, PLAN_KEY, {"toml": to_toml(plan)}, at=now)])


def read_plan(path: Path) -> SeasonPlan:
    """Return the plan in a TOML file; `Refused` if it cannot be read or says what cannot be."""
    try:
        return from_toml(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror or error}") from error
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is no text in UTF-8: save it as that") from error
    except Refused as why:
        raise Refused(f"{path}: {why}") from why


def write_plan(plan: SeasonPlan, path: Path) -> None:
    """Write a plan to a TOML file; what was there is replaced in one step."""
    with replacing(path) as beside:
        beside.write_text(to_toml(plan), encoding="utf-8")


def show_of(typed: str) -> ShowDay:
    """Return the show that was typed as its day and its name: "2031-03-29 Finals"."""
    day, _, name = typed.strip().partition(" ")
    try:
        return ShowDay(date.fromisoformat(day), name.strip())
    except ValueError:
        raise Refused(
            f"a show is typed as its day and its name, as in '2031-03-29 Finals', not {typed!r}"
        ) from None


def weekdays_of(typed: str) -> tuple[int, ...]:
    """Return the days of the week that were typed, as in "tue,thu,sat"."""
    return tuple(sorted({weekday_of(day) for day in typed.replace(",", " ").split()}))


def weekday_of(typed: str) -> int:
    """Return the number of a day of the week, 0 for Monday."""
    said = typed.strip().casefold()[:3]
    if said not in WEEKDAYS:
        raise Refused(f"a day of the week is one of {', '.join(WEEKDAYS)}, not {typed!r}")
    return WEEKDAYS.index(said)


def _plain(plan: SeasonPlan) -> dict[str, Any]:
    return {
        "title": plan.title,
        "starts": plan.starts_on,
        "ends": plan.ends_on,
        "rehearsals": [WEEKDAYS[day] for day in plan.rehearsals],
        "block_minutes": plan.block_minutes,
        "show": [{"date": show.on, "name": show.name} for show in plan.shows],
    }


def _aims_text(aims: Aims) -> str:
    """Return a week's aims as TOML: one number where all bands are alike, else ten in a line."""
    sizes = sorted(set(aims.t75_db))
    db = str(sizes[0]) if len(sizes) == 1 else str(list(aims.t75_db))
    return f"\n[[aims]]\nweek = {aims.week}\ndb = {db}\n"


def _show(said: Any, place: int) -> ShowDay:
    where = f"show {place}"
    _checked(said, SHOW_KEYS, where)
    if missing := [key for key in SHOW_KEYS if key not in said]:
        raise Refused(f"{where} has no {missing[0]}")
    return ShowDay(said["date"], said["name"])


def _aims(said: Any, place: int) -> Aims:
    where = f"aims {place}"
    _checked(said, AIMS_KEYS, where)
    if missing := [key for key in AIMS_KEYS if key not in said]:
        raise Refused(f"{where} have no {missing[0]}")
    sizes = said["db"] if isinstance(said["db"], list) else [said["db"]] * len(OCTAVE_SCALE)
    if not all(isinstance(size, int | float) and not isinstance(size, bool) for size in sizes):
        raise Refused(f"{where}: sizes are numbers in dB, not {sizes!r}")
    return Aims(said["week"], tuple(map(float, sizes)))


def _weekdays(said: list[Any]) -> tuple[int, ...]:
    return tuple(sorted({weekday_of(str(day)) for day in said}))


def _checked(said: Any, keys: Keys, where: str) -> None:
    if not isinstance(said, dict):
        raise Refused(f"{where} is a table, as in [[show]] or [[aims]], not {said!r}")
    for key, value in said.items():
        if key not in keys:
            meant = get_close_matches(key, keys, n=1)
            hint = f"; did you mean {meant[0]!r}?" if meant else ""
            raise Refused(f"{where}: {key!r} is none of {', '.join(keys)}{hint}")
        is_day = keys[key] is not date or not isinstance(value, datetime)
        if not isinstance(value, keys[key]) or isinstance(value, bool) or not is_day:
            raise Refused(f"{where}: {key} cannot be {value!r} ({_MEANT[key]})")


_MEANT = {
    **dict.fromkeys(("starts", "ends", "date"), "a day is written 2031-01-06, without quotes"),
    **dict.fromkeys(("title", "name"), "words are written in quotes"),
    "rehearsals": 'days of the week, as in ["tue", "sat"]',
    "block_minutes": "a whole number, without quotes",
    "week": "a whole number, without quotes",
    "show": "each show is a table that begins with [[show]]",
    "aims": "each week's aims are a table that begins with [[aims]]",
    "db": "one number of dB, or ten in brackets",
}


_HEAD = (
    "# The season plan. Aims are T75: the smallest boost or cut to be named right three times in four, in dB; one\n"
    "# number for all octave bands, or ten, for "
    f"{', '.join(f'{band_hz:g}' for band_hz in OCTAVE_SCALE.names_hz)} Hz.\n"
    "# Between the weeks named they change by equal ratios; after the last they stay.\n\n"
)
