"""Asking in the terminal."""

import click


def ask(prompt: str) -> str | None:
    """Return a line from the terminal, or None at its end."""
    try:
        return input(prompt)
    except EOFError:
        click.echo()
        return None
