"""The table of commands: every entry is there, says what its command says, and is loaded only when it is run."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from tests.command.conftest import Run
from trainer.command.main import COMMANDS, yardline

ROOT = Path(__file__).parents[2]
HEAVY = ("numpy", "scipy", "sqlalchemy", "rich", "pygame", "matplotlib", "pedalboard", "trainer.assembly")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_entry_is_a_command_of_its_name_and_the_first_line_of_its_help(name: str) -> None:
    command = yardline.get_command(click.Context(yardline), name)
    assert isinstance(command, click.Command)
    assert command.name == name
    assert command.help is not None
    assert command.help.split("\n")[0] == COMMANDS[name][1]


def test_every_command_of_the_room_is_in_the_table_or_in_a_group_of_it() -> None:
    """A function under ``@click.command()`` that no entry and no group names could be run by nobody."""
    found = set()
    for path in (ROOT / "trainer" / "command").glob("*.py"):
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            decorators = [ast.unparse(one) for one in getattr(node, "decorator_list", [])]
            if isinstance(node, ast.FunctionDef) and {"click.command()", "click.group()"} & set(decorators):
                found.add(f"trainer.command.{path.stem}:{node.name}")
    table = {place for place, _ in COMMANDS.values()}
    assert table <= found
    assert found <= table | set(grouped())


def grouped() -> Iterator[str]:
    """Yield where each command is found that a group of the table holds."""
    for name in COMMANDS:
        group = yardline.get_command(click.Context(yardline), name)
        if isinstance(group, click.Group):
            for command in group.commands.values():
                assert command.callback is not None
                yield f"{command.callback.__module__}:{command.callback.__name__}"


def test_the_help_names_every_command_with_its_line(run: Run) -> None:
    ended = run("--help")
    assert ended.code == 0
    said = " ".join(ended.out.split())
    for name, (_, line) in COMMANDS.items():
        assert f"{name} {line}" in said


def test_a_command_nobody_knows_is_told(run: Run) -> None:
    assert run("drll").code == 2


def test_the_help_loads_none_of_the_heavy_libraries() -> None:
    work = "import sys; from trainer.command.main import main; main(['--help']); print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", work], cwd=ROOT, capture_output=True, text=True, check=True, timeout=60
    )
    loaded = set(done.stdout.splitlines()[-1].split())
    assert "trainer.command.main" in loaded
    assert loaded.isdisjoint(HEAVY)
