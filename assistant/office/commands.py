"""The manager's commands: imports, exports, the trail. An import only shows what it would do, until told to do it."""

from __future__ import annotations

import getpass
import shutil
from collections import defaultdict
from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Protocol

import click

from assistant.answers import price_list, sales_list, talk
from assistant.console import WIDTH, render
from assistant.errors import ListRefused, MemoryFailed
from assistant.messages import Reply
from assistant.office.sales import SalesPreview, read_sales
from assistant.office.supplier import Asked, Preview, preview
from assistant.services import Services

REFUSED = 1


class Setup(Protocol):
    """What stands before the command."""

    def services(self) -> Services:
        """The assistant. Raises BookError or MemoryFailed."""


list_file = click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
columns = click.option(
    "--columns", default="", metavar="WHAT=HEADING,...", help="Which column holds what; or its number from 1."
)
apply = click.option("--apply", is_flag=True, help="Do it; without this it is only shown.")
match = click.option(
    "--match",
    "matches",
    multiple=True,
    metavar="NAME=OURS",
    help="A name of the list and ours for it.",
)


@click.group("import")
def imports() -> None:
    """Take in lists from elsewhere: prices of a supplier, sales of the till, recipes."""


@imports.command("prices")
@list_file
@columns
@match
@click.option("--large-changes", is_flag=True, help="Prices that move three times or more are right.")
@apply
@click.pass_obj
def import_prices(
    setup: Setup, file: Path, columns: str, matches: tuple[str, ...], large_changes: bool, apply: bool
) -> None:
    """Take prices from a supplier's CSV: shown first, and taken with --apply, all or none."""
    asked = Asked(_pairs_of_columns(columns), _pairs(matches), large_changes)
    with closing(setup.services()) as services:
        try:
            found = preview(file.read_bytes(), services.book, services.memory.recall().supplied, asked)
        except ListRefused as error:
            _end(price_list.refused(error))
        reply = _taken(found, services) if apply else price_list.previewed(found, services.book)
    _end(reply)


@imports.command("sales")
@list_file
@columns
@match
@apply
@click.pass_obj
def import_sales(setup: Setup, file: Path, columns: str, matches: tuple[str, ...], apply: bool) -> None:
    """Take what was sold from the till's CSV, in place of the list before: shown first, and taken with --apply."""
    named = {name: drinks[0] for name, drinks in _pairs(matches).items()}
    with closing(setup.services()) as services:
        try:
            found = read_sales(file.read_bytes(), services.book, _pairs_of_columns(columns), named)
        except ListRefused as error:
            _end(price_list.refused(error))
        reply = _counted(found, services) if apply else sales_list.sales_shown(found)
    _end(reply)


@click.command()
@click.argument("token")
@click.pass_obj
def undo(setup: Setup, token: str) -> None:
    """Take back a change, or a whole import, by the token that was printed with it."""
    with closing(setup.services()) as services:
        try:
            entry = services.memory.undo(token, getpass.getuser())
            reply = talk.undone(entry, services.book.house)
        except MemoryFailed as error:
            reply = replace(talk.not_undone(error), understood=False)
    _end(reply)


def _taken(found: Preview, services: Services) -> Reply:
    changes = found.as_changes()
    if found.faults or not changes:
        return price_list.not_applied(found, services.book)
    token = services.memory.apply_together(changes, getpass.getuser())
    return price_list.applied(found, services.book, token)


def _counted(found: SalesPreview, services: Services) -> Reply:
    changes = found.as_changes(services.memory.recall().sold)
    if found.faults or not found.sold or not changes:
        return sales_list.sales_not_taken(found)
    return sales_list.sales_taken(found, services.memory.apply_together(changes, getpass.getuser()))


def _end(reply: Reply) -> None:
    """Print the reply, with the way to undo it; exit code 1 when it is a refusal."""
    width = min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns)
    undo, plain = reply.undo, Reply(reply.say, reply.card, reply.cautions)
    click.echo(render(plain, width))
    if undo is not None:
        click.echo(f"\nTo take all of it back: prep-assistant undo {undo}")
    if not reply.understood:
        raise SystemExit(REFUSED)


def _pairs_of_columns(text: str) -> Mapping[str, str]:
    return {what: names[0] for what, names in _pairs(filter(None, text.split(","))).items()}


def _pairs(texts: Iterable[str]) -> Mapping[str, tuple[str, ...]]:
    """'NAME=OURS' as a mapping; a name given twice has both."""
    pairs: dict[str, tuple[str, ...]] = defaultdict(tuple)
    for text in texts:
        name, sign, ours = (part.strip() for part in text.rpartition("="))
        if not sign or not name or not ours:
            raise click.UsageError(f'"{text}" is not of the form NAME=OURS.')
        pairs[name] += (ours,)
    return pairs
