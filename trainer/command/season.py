"""``yardline season``: the plan of a season, its aims week by week, and who is on track."""

import json
from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from trainer.command.book import book
from trainer.command.folders import into_file
from trainer.command.options import opened
from trainer.refusal import Refused

if TYPE_CHECKING:
    from trainer.progress.store import Store
    from trainer.season.plan import SeasonPlan
    from trainer.season.plan_standing import LearnerStanding

DAY = click.DateTime(["%Y-%m-%d"])
FILE = click.Path(path_type=Path, dir_okay=False)
AS_JSON = click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
NO_PLAN = "there is no season plan yet: `yardline season new` makes one"


@click.group()
def season() -> None:
    """Plan a season: weeks, rehearsals, shows, what is aimed at; see who is on track; print the season book."""


season.add_command(book)


@season.command()
@AS_JSON
def show(as_json: bool) -> None:
    """Show the plan week by week, and who is on track with this week's aims."""
    from trainer.command.told_bar import told_bar
    from trainer.season.plan_standing import standings_of
    from trainer.season.plan_words import plan_data
    from trainer.season.roster import roster_of

    with opened() as (assembly, store):
        plan, today = _the_plan(store), assembly.now().date()
        with told_bar("Reading the answers", len(roster_of(store).present)) as told:
            standings = standings_of(store, plan, today=today, told=told)
    if as_json:
        everybody = list(map(_standing_data, standings))
        click.echo(json.dumps(plan_data(plan, today) | {"learners": everybody}, ensure_ascii=False))
        return
    _print_plan(plan, today)
    if standings:
        click.echo()
        Console().print(_standings_table(standings))


@season.command()
@click.option("--title", default="Season", show_default=True, help="What the season is called.")
@click.option("--starts", type=DAY, metavar="DAY", help="The first day, as 2031-01-06.  [default: today]")
@click.option("--ends", type=DAY, metavar="DAY", help="The last day.  [default: twelve weeks later]")
@click.option("--days", metavar="DAYS", help="Rehearsal days.  [default: tue,thu,sat]")
@click.option(
    "--show", "shows", multiple=True, metavar="'DAY NAME'", help="A show, as '2031-03-29 Finals'; repeatable."
)
@click.option("--minutes", type=int, metavar="N", help="How long a day's block is: 3, 8 or 15.  [default: 8]")
@click.option("--replace", is_flag=True, help="In place of the plan there is.")
def new(
    title: str,
    starts: datetime | None,
    ends: datetime | None,
    days: str | None,
    shows: tuple[str, ...],
    minutes: int | None,
    replace: bool,
) -> None:
    """Make a plan as it is usual: twelve weeks, aims from what newcomers name down to what a season can reach."""
    from trainer.season.plan import usual_plan
    from trainer.season.plan_text import keep_plan, plan_of, show_of, weekdays_of

    usual: dict[str, Any] = {}
    if days is not None:
        usual["rehearsals"] = weekdays_of(days)
    if minutes is not None:
        usual["block_minutes"] = minutes
    with opened() as (assembly, store):
        now = assembly.now()
        plan = usual_plan(
            now.date() if starts is None else starts.date(),
            title=title,
            ends_on=None if ends is None else ends.date(),
            shows=map(show_of, shows),
            **usual,
        )
        there = None if replace else plan_of(store)
        if there is not None:
            raise Refused(
                f"there is a plan already ({there.title}, {there.starts_on} to {there.ends_on}): "
                "--replace puts the new one in its place, `yardline season save FILE` keeps the old one first"
            )
        keep_plan(store, plan, now=now)
    _print_plan(plan, now.date())


@season.command()
@click.argument("file", type=FILE)
def load(file: Path) -> None:
    """Take the plan in FILE, a TOML file as `yardline season save` writes it, in place of the one there is."""
    from trainer.season.plan_text import keep_plan, read_plan

    plan = read_plan(file)
    with opened() as (assembly, store):
        keep_plan(store, plan, now=assembly.now())
        today = assembly.now().date()
    _print_plan(plan, today)


@season.command()
@click.argument("file", type=FILE)
def save(file: Path) -> None:
    """Write the plan to FILE, a TOML file to edit and load again."""
    from trainer.season.plan_text import write_plan

    with opened() as (_, store):
        plan = _the_plan(store)
    with into_file(file):
        write_plan(plan, file)
    click.echo(f"The plan is in {file}: edit it, then `yardline season load {file}`.")


@season.command()
@click.option("--learner", metavar="NAME", help="With the chance that they are there already.")
@AS_JSON
def aims(learner: str | None, as_json: bool) -> None:
    """Show what is aimed at: every week by octave band, or this week's of one learner with the chances."""
    from trainer.season.plan_words import plan_data

    with opened() as (assembly, store):
        plan, today = _the_plan(store), assembly.now().date()
        if learner is not None:
            from trainer.season.plan_standing import standings_of
            from trainer.season.roster import roster_of

            member = roster_of(store).named(learner)
            (standing,) = standings_of(store, plan, today=today, members=[member])
    if as_json:
        data = plan_data(plan, today) if learner is None else _standing_data(standing)
        click.echo(json.dumps(data, ensure_ascii=False))
    elif learner is None:
        Console().print(_aims_table(plan, today))
    else:
        Console().print(_learner_table(standing))
        click.echo(f"{standing.name}: {standing.words}")


def _the_plan(store: "Store") -> "SeasonPlan":
    from trainer.season.plan_text import plan_of

    plan = plan_of(store)
    if plan is None:
        raise Refused(NO_PLAN)
    return plan


def _print_plan(plan: "SeasonPlan", today: date) -> None:
    from trainer.season.plan_words import aims_words, rehearsals_in, season_words, shows_in, weekdays_words

    click.echo(f"{plan.title}: {season_words(plan, today)}")
    click.echo(
        f"Rehearsals on {weekdays_words(plan.rehearsals)}; a block of {plan.block_minutes} minutes a day."
    )
    table = Table("week", "from", "rehearsals", "aim (T75)", "shows", box=None, padding=(0, 2, 0, 0))
    for week in range(1, plan.weeks + 1):
        table.add_row(
            _week(plan, week, today),
            plan.first_day(week).isoformat(),
            str(rehearsals_in(plan, week)),
            aims_words(plan.aims_in(week)),
            escape(shows_in(plan, week)),
        )
    Console().print(table)


def _week(plan: "SeasonPlan", week: int, today: date) -> str:
    return f"{week} (now)" if plan.week_of(today) == week else str(week)


def _aims_table(plan: "SeasonPlan", today: date) -> Table:
    from trainer.practice.band_scale import OCTAVE_SCALE

    table = Table(title="T75 aimed at, in dB, by octave band in Hz", title_justify="left", box=None)
    for heading in ("week", *(f"{band_hz:g}" for band_hz in OCTAVE_SCALE.names_hz)):
        table.add_column(heading, no_wrap=True)
    for week in range(1, plan.weeks + 1):
        table.add_row(_week(plan, week, today), *(f"{size_db:.1f}" for size_db in plan.aims_in(week)))
    return table


def _standings_table(standings: Sequence["LearnerStanding"]) -> Table:
    table = Table("name", "role", "this week", box=None, padding=(0, 2, 0, 0))
    for one in standings:
        table.add_row(*map(escape, (one.name, one.role, one.words)))
    return table


def _learner_table(standing: "LearnerStanding") -> Table:
    from trainer.practice.band_scale import band_label
    from trainer.progress.ear_words import TOO_EARLY
    from trainer.progress.figures.reaching import standing_of

    table = Table("octave band", "aim (T75)", "chance", "so far", box=None, padding=(0, 2, 0, 0))
    for aim in standing.aims:
        is_early = aim.band_hz in standing.early_hz
        chance = "" if is_early else f"{100 * aim.chance:.0f} %"
        said = TOO_EARLY if is_early else standing_of(aim.chance)
        table.add_row(band_label(aim.band_hz), f"{aim.aim_db:.1f} dB", chance, said)
    return table


def _standing_data(standing: "LearnerStanding") -> dict[str, Any]:
    return {
        "name": standing.name,
        "role": standing.role,
        "standing": standing.words,
        "aims": [
            {
                "band_hz": aim.band_hz,
                "aim_db": round(aim.aim_db, 3),
                "chance": aim.chance,
                "too_early": aim.band_hz in standing.early_hz,
            }
            for aim in standing.aims
        ],
    }
