"""How a command ends: 0 done, 2 bad input in one sentence, 1 our own fault; no traceback reaches a user."""

from collections.abc import Sequence

import click

from trainer.refusal import Refused

BAD_INPUT = 2
OUR_FAULT = 1


def exit_code_of(command: click.Command, arguments: Sequence[str] | None, *, name: str, stopped: str) -> int:
    """Run a command and return its exit code.

    Parameters
    ----------
    arguments
        What was typed after the name; None for this process's own.
    name
        What the program calls itself in what it says.
    stopped
        What is said when the user stops it.
    """
    try:
        command.main(
            args=None if arguments is None else list(arguments), prog_name=name, standalone_mode=False
        )
    except click.exceptions.Exit as end:
        return end.exit_code
    except click.Abort:
        click.echo(stopped, err=True)
        return 0
    except click.ClickException as error:
        click.echo(f"{name}: {error.format_message()}", err=True)
        return BAD_INPUT
    except Refused as error:
        click.echo(f"{name}: {error}", err=True)
        return BAD_INPUT
    except Exception as error:  # whatever it is, the user gets a sentence and we get the details
        details = _kept_details(name)
        click.echo(f"{name}: our fault, not yours: {error!r}; details are in {details}", err=True)
        return OUR_FAULT
    return 0


def _kept_details(name: str) -> str:
    """Return the path of a file that holds the traceback; what writes it is loaded only now."""
    import tempfile
    import traceback

    prefix = f"{name.split()[-1]}-"
    with tempfile.NamedTemporaryFile("w", prefix=prefix, suffix=".txt", delete=False) as file:
        traceback.print_exc(file=file)
    return file.name
