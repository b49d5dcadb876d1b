"""The manager's PIN in the terminal: set and removed, and asked for where a command is the manager's.

Whoever has this machine's terminal could edit the database as well, so setting another PIN does not ask for the old
one. What is typed is never shown, and never an argument, which other users of the machine could read.
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from typing import Protocol

import click

from assistant.answers import pins
from assistant.errors import PinError
from assistant.newcomers import is_name
from assistant.pin import LONGEST, SHORTEST
from assistant.rights import Rights
from assistant.services import Services

TERMINAL = "terminal"  # where tries come from, as they are counted
UNLOCK = "unlock"  # typed in a chat
HOW_HERE = "Here: type unlock, and then the PIN."


class Setup(Protocol):
    """What stands before the command."""

    def services(self) -> Services:
        """The assistant. Raises BookError or MemoryFailed."""


@click.group("pin")
def pin() -> None:
    """Set the manager's PIN, which keeps prices, imports and edits of the book for the manager; or remove it."""


@pin.command("set")
@click.pass_obj
def set_pin(setup: Setup) -> None:
    """Set a PIN, or another in its place; it is asked for twice and not shown. This also ends a lock-out."""
    with closing(setup.services()) as services:
        asked = f"New PIN, {SHORTEST} to {LONGEST} digits"
        services.manager.set_pin(click.prompt(asked, hide_input=True, confirmation_prompt="The same again"))
    click.echo(pins.SET)


@pin.command("remove")
@click.confirmation_option(prompt="Do without a PIN from now on?")
@click.pass_obj
def remove_pin(setup: Setup) -> None:
    """Do without a PIN from now on."""
    with closing(setup.services()) as services:
        services.manager.remove_pin()
    click.echo(pins.REMOVED)


def _name(_context: click.Context, _option: click.Parameter, name: str) -> str:
    if name and not is_name(name):
        raise click.BadParameter("a name is one to three words, all of letters.")
    return name


who_speaks = click.option("--who", default="", metavar="NAME", callback=_name, help="Who is speaking, by name.")


def prove(services: Services, is_allowed: Callable[[Rights], bool]) -> None:
    """Go on only if this is allowed here: where it needs the manager's PIN, ask for it.

    Raises click.ClickException where none is set yet, and PinError for a wrong one.
    """
    rights = services.rights()
    if is_allowed(rights):
        return
    if not rights.has_pin:
        raise click.ClickException(pins.NONE_YET)
    asked_for_pin(services)


def asked_for_pin(services: Services) -> str:
    """The token of this terminal, once the right PIN is typed. Raises PinError.

    It is asked for on standard error, since standard output may be going into a file.
    """
    return services.manager.unlock(click.prompt("The manager's PIN", hide_input=True, err=True), TERMINAL)


def try_to_unlock(services: Services) -> str:
    """The same in a chat, which goes on when it was wrong: then the token is empty."""
    try:
        token = asked_for_pin(services)
    except PinError as error:
        click.echo(pins.refused(error))
        return ""
    click.echo(pins.unlocked(services.manager.left(token)))
    return token
