"""The manager's commands: imports, exports, the trail. An import only shows what it would do, until told to do it."""

from __future__ import annotations

import getpass
import json
import shutil
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Protocol, TextIO

import click

from assistant.answers import talk
from assistant.answers.base import Scene
from assistant.answers.menu import menu_answer
from assistant.answers.price_history import price_history
from assistant.console import WIDTH, render
from assistant.editing.desk import Desk
from assistant.editing.history import History
from assistant.errors import MemoryFailed
from assistant.messages import Focus, Reply
from assistant.office.columns import fold
from assistant.office.exports import memory_document, menu_csv, prices_csv, trail_csv, whole_trail
from assistant.office.recipe_export import recipes_document
from assistant.office.supplier import Asked
from assistant.office.taking import Given, Kind, take
from assistant.pin_commands import prove
from assistant.rights import BOOK, COSTS, EXPORTS, PRICES, SALES
from assistant.services import Services
from grammar.command import Command, Intent, SlotValue

REFUSED = 1
TAKEN: Mapping[Kind, str] = {"prices": PRICES, "sales": SALES, "recipes": BOOK}  # what a list that is taken changes
REPORTS = {"costs": "menu", "engineering": "mix", "prices": "moves"}  # as the command says it: as the answer is told


class Setup(Protocol):
    """What stands before the command."""

    def services(self) -> Services:
        """The assistant. Raises BookError or MemoryFailed."""


list_file = click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
columns = click.option(
    "--columns", default="", metavar="WHAT=HEADING,...", help="Which column holds what; or its number from 1."
)
apply = click.option("--apply", is_flag=True, help="Do it; without this it is only shown.")
output = click.argument("file", type=click.File("w", encoding="utf-8", lazy=True), default="-")
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
    _end(_given("prices", file, asked, apply, setup))


@imports.command("sales")
@list_file
@columns
@match
@apply
@click.pass_obj
def import_sales(setup: Setup, file: Path, columns: str, matches: tuple[str, ...], apply: bool) -> None:
    """Take what was sold from the till's CSV, in place of the list before: shown first, and taken with --apply."""
    _end(_given("sales", file, Asked(_pairs_of_columns(columns), _pairs(matches)), apply, setup))


@imports.command("recipes")
@list_file
@apply
@click.pass_obj
def import_recipes(setup: Setup, file: Path, apply: bool) -> None:
    """Take recipes from a schema.org/Recipe JSON-LD file; what cannot be read of them is listed, and left out."""
    _end(_given("recipes", file, Asked(), apply, setup))


@click.command()
@click.argument("about", type=click.Choice(sorted(REPORTS)))
@click.option("--percent", type=click.IntRange(1, 500), help="How far prices move, for the report on prices.")
@click.pass_obj
def report(setup: Setup, about: str, percent: int | None) -> None:
    """Show the menu's costs, its menu engineering by the sales taken in, or the prices that hurt most."""
    slots: dict[str, SlotValue] = {"text": REPORTS[about]}
    slots |= {} if percent is None else {"percent": Decimal(percent)}
    with closing(setup.services()) as services:
        prove(services, lambda rights: rights.sees_costs)
        now = services.tonight()
        scene = Scene(now.book, now.out, Focus(), sold=now.sold)
    _end(menu_answer(Command(Intent.COST, slots), scene).reply)


@click.command()
@click.argument("ingredient")
@click.pass_obj
def history(setup: Setup, ingredient: str) -> None:
    """Show every price that was ever set for an ingredient, by whom and when."""
    with closing(setup.services()) as services:
        names = {fold(name): name for name in services.book.ingredients}
        name = names.get(fold(ingredient))
        if name is None:
            raise click.UsageError(f"The book has no {ingredient}. Write the ingredient as the book does.")
        prove(services, lambda rights: rights.sees_costs)
        reply = price_history(name, services.memory.history("price", name), services.book)
    _end(reply)


@click.group("export")
def exports() -> None:
    """Write what the bar takes with it: recipes, prices, menu costs, all that is remembered."""


@exports.command("recipes")
@output
@click.pass_obj
def export_recipes(setup: Setup, file: TextIO) -> None:
    """Write all recipes as schema.org/Recipe JSON-LD."""
    with closing(setup.services()) as services:
        _json(recipes_document(services.book), file)


@exports.command("prices")
@output
@click.pass_obj
def export_prices(setup: Setup, file: TextIO) -> None:
    """Write what each pack costs now as CSV; "import prices" reads it back."""
    with _exporting(setup) as services:
        file.write(prices_csv(services.book))


@exports.command("menu")
@output
@click.pass_obj
def export_menu(setup: Setup, file: TextIO) -> None:
    """Write the menu as CSV: cost, price, pour cost and margin of each drink."""
    with _exporting(setup) as services:
        file.write(menu_csv(services.book))


@exports.command("trail")
@output
@click.pass_obj
def export_trail(setup: Setup, file: TextIO) -> None:
    """Write the trail as CSV: who changed what and when, newest first."""
    with _exporting(setup) as services:
        file.write(trail_csv(whole_trail(services.memory, History(services.files.folder).edits())))


@exports.command("memory")
@output
@click.pass_obj
def export_memory(setup: Setup, file: TextIO) -> None:
    """Write all that is remembered as one JSON object, trail and trainees' marks included."""
    with _exporting(setup) as services:
        _json(memory_document(services.memory), file)


@click.command()
@click.argument("token")
@click.pass_obj
def undo(setup: Setup, token: str) -> None:
    """Take back a change, a whole import or an edit of the book, by the token that it came with."""
    with closing(setup.services()) as services:
        reply = _taken_back(token, getpass.getuser(), services)
    _end(reply)


def _taken_back(token: str, who: str, services: Services) -> Reply:
    desk = Desk(services)
    if desk.knows(token):
        prove(services, lambda rights: rights.may(BOOK))
        return desk.undo(token, who)
    kinds = services.memory.kinds(token)
    prove(services, lambda rights: all(map(rights.may_undo, kinds)))
    try:
        return talk.undone(services.memory.undo(token, who), services.book.house)
    except MemoryFailed as error:
        return replace(talk.not_undone(error), understood=False)


@contextmanager
def _exporting(setup: Setup) -> Iterator[Services]:
    """The assistant, for writing out what tells costs."""
    with closing(setup.services()) as services:
        prove(services, lambda rights: rights.may(EXPORTS))
        yield services


def _given(kind: Kind, file: Path, asked: Asked, apply: bool, setup: Setup) -> Reply:
    """What comes of a list: shown, or taken."""
    subject = TAKEN[kind] if apply else COSTS  # what is shown tells the prices there are
    with closing(setup.services()) as services:
        prove(services, lambda rights: rights.may(subject))
        return take(kind, Given(file.read_bytes(), asked, getpass.getuser() if apply else ""), services).reply


def _json(document: Mapping[str, object], file: TextIO) -> None:
    json.dump(document, file, ensure_ascii=False, indent=1)
    file.write("\n")


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
