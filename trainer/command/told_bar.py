"""A bar in the terminal for work that tells how far it is."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial

from rich.console import Console
from rich.progress import Progress, TaskID


@contextmanager
def told_bar(title: str, total: float) -> Iterator[Callable[[float], object]]:
    """Give what is told how much of the work is done; on a terminal a bar shows it from the first time on."""
    with told_bars((title, total)) as (told,):
        yield told


@contextmanager
def told_bars(*works: tuple[str, float]) -> Iterator[tuple[Callable[[float], object], ...]]:
    """Give the same for several works, each with its title and how much there is to do, a bar under the other."""
    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        tasks = [bar.add_task(title, total=total, visible=False) for title, total in works]
        yield tuple(partial(_tell, bar, task) for task in tasks)


def _tell(bar: Progress, task: TaskID, done: float) -> None:
    bar.update(task, completed=done, visible=True)
