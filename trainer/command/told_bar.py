"""A bar in the terminal for work that tells how far it is."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import Progress


@contextmanager
def told_bar(title: str, total: float) -> Iterator[Callable[[float], object]]:
    """Give what is told how much of the work is done; on a terminal a bar shows it from the first time on."""
    console = Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task(title, total=total, visible=False)
        yield lambda done: bar.update(task, completed=done, visible=True)
