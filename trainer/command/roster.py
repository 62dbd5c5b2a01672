"""``yardline roster``: who is on staff and who is a student, and what everybody is called."""

import json
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from trainer.command.folders import into_file
from trainer.command.options import opened

if TYPE_CHECKING:
    from trainer.season.roster import Member

FILE = click.Path(path_type=Path, dir_okay=False)
ROLE = click.option("--role", metavar="ROLE", help="audio staff, student or guest.")
SECTION = click.option("--section", metavar="WORDS", help="The section they are with.")


@click.group()
def roster() -> None:
    """Keep the roster: who is on staff, who is a student, and what they are called."""


@roster.command("list")
@click.option("--all", "with_archived", is_flag=True, help="Those who were archived, too.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
def list_members(with_archived: bool, as_json: bool) -> None:
    """List everybody, by role and name; who has answers and is not on the roster is a guest."""
    from trainer.season.roster import roster_of

    with opened() as (_, store):
        found = roster_of(store)
    members = found.members if with_archived else found.present
    if as_json:
        click.echo(json.dumps(list(map(_plain, members)), ensure_ascii=False))
        return
    if not members:
        click.echo("Nobody yet: `yardline roster add NAME` puts somebody on the roster.")
        return
    table = Table("name", "role", "section", "since", "answers kept under", box=None, padding=(0, 2, 0, 0))
    for member in members:
        role = f"{member.role}, archived" if member.is_archived else member.role
        kept_under = "" if member.learner == member.name else member.learner
        table.add_row(*map(escape, (member.name, role, member.section, _since(member), kept_under)))
    Console().print(table)


@roster.command()
@click.argument("name")
@ROLE
@SECTION
@click.option(
    "--since", type=click.DateTime(["%Y-%m-%d"]), metavar="DAY", help="Their first day.  [default: today]"
)
@click.option(
    "--learner", default="", metavar="NAME", help="The name their answers are kept under, if another."
)
def add(name: str, role: str | None, section: str | None, since: datetime | None, learner: str) -> None:
    """Put NAME on the roster; a guest keeps the answers there are."""
    from trainer.season.roster import add_member, role_of

    with opened() as (assembly, store):
        member = add_member(
            store,
            name,
            role=role_of(role or "student"),
            section=section or "",
            since=_day(since),
            learner=learner,
            now=assembly.now(),
        )
    click.echo(f"{member.name} is on the roster as {member.role}.")


@roster.command()
@click.argument("name")
@click.argument("new_name")
def rename(name: str, new_name: str) -> None:
    """Show NAME as NEW_NAME from now on; their answers stay theirs."""
    from trainer.season.roster import rename_member

    with opened() as (assembly, store):
        member = rename_member(store, name, new_name, now=assembly.now())
    click.echo(f"{name} is shown as {member.name} from now on; the answers are kept under {member.learner}.")


@roster.command()
@click.argument("name")
@ROLE
@SECTION
def change(name: str, role: str | None, section: str | None) -> None:
    """Give NAME another role or section."""
    from trainer.season.roster import change_member, role_of

    with opened() as (assembly, store):
        asked = None if role is None else role_of(role)
        member = change_member(store, name, role=asked, section=section, now=assembly.now())
    with_section = f", with {member.section}" if member.section else ""
    click.echo(f"{member.name} is {member.role}{with_section}.")


@roster.command()
@click.argument("name")
def archive(name: str) -> None:
    """Take NAME off the lists; the answers and the name are kept."""
    from trainer.season.roster import archive_member

    with opened() as (assembly, store):
        member = archive_member(store, name, now=assembly.now())
    click.echo(f"{member.name} is archived; `yardline roster bring-back` undoes that.")


@roster.command("bring-back")
@click.argument("name")
def bring_back(name: str) -> None:
    """Put NAME, who was archived, on the lists again."""
    from trainer.season.roster import bring_back as brought_back

    with opened() as (assembly, store):
        member = brought_back(store, name, now=assembly.now())
    click.echo(f"{member.name} is on the lists again.")


@roster.command("import")
@click.argument("file", type=FILE)
def import_file(file: Path) -> None:
    """Put everybody in FILE, a CSV as `yardline roster export` writes it, on the roster.

    The first line names the columns: name, and any of role, section, since, archived, learner. Who is there
    already is changed as the file says; nobody is taken off.
    """
    from trainer.season.roster_csv import import_roster

    with opened() as (assembly, store):
        done = import_roster(store, file, now=assembly.now())
    click.echo(f"{done.added} added, {done.changed} changed, {done.unchanged} as they were")


@roster.command("export")
@click.argument("file", type=FILE)
def export_file(file: Path) -> None:
    """Write the roster to FILE, a CSV for a spreadsheet."""
    from trainer.season.roster import roster_of
    from trainer.season.roster_csv import write_roster

    with opened() as (_, store), into_file(file):
        written = write_roster(roster_of(store), file)
    click.echo(f"The roster is in {file}, {written} in all")


def _plain(member: "Member") -> dict[str, str | bool]:
    return {
        "name": member.name,
        "role": member.role,
        "section": member.section,
        "since": _since(member),
        "archived": member.is_archived,
        "learner": member.learner,
    }


def _since(member: "Member") -> str:
    return "" if member.since is None else member.since.isoformat()


def _day(typed: datetime | None) -> date | None:
    return None if typed is None else typed.date()
