"""The commands of care: back up, restore, move to another database, and ask the doctor."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

import click
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from assistant.care.automatic import back_up_before_upgrade, backups_of, made_at, set_aside, shelf_of
from assistant.care.backups import back_up, restore
from assistant.care.doctor import Patient, checks
from assistant.care.files import file_of, is_spoilt
from assistant.care.moving import move
from assistant.tables import BOOK
from assistant.web.server import PORT

HOUSE = "house"  # the venue of a bar that shares its database with no other
LONGEST_VENUE = 80  # letters
STOPPED = 1  # exit code: something stops service
WORDS = {  # what a row of each table is
    "changed_together": "changes made together",
    "floor_test": "floor tests",
    "kept_drink": "kept drinks",
    "manager_pin": "PINs",
    "on_hand": "counts of stock",
    "out_of_stock": "ingredients out",
    "pack_price": "prices",
    "par_level": "pars",
    "person": "people",
    "pin_shown": "devices that had the PIN",
    "quiz_mark": "quiz marks",
    "sold": "drinks sold",
    "supplier_name": "suppliers' names",
    "trail": "changes in the trail",
    "wrong_pin": "wrong PINs",
}


class Setup(Protocol):
    """What stands before the command."""

    @property
    def url(self) -> str:
        """Where the database is."""

    @property
    def folder(self) -> Path | None:
        """The folder of the book in use; None is the book that ships."""

    @property
    def venue(self) -> str:
        """The bar whose shelf, prices and quiz these are."""


def venue_name(_context: click.Context, _option: click.Parameter, name: str | None) -> str:
    """The name of a venue, as it is kept; empty where none was given."""
    if name is None:
        return ""
    kept = name.strip()
    if not 0 < len(kept) <= LONGEST_VENUE or kept == BOOK:
        raise click.BadParameter(f"A venue's name has one to {LONGEST_VENUE} letters, and is not {BOOK}.")
    return kept


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.pass_obj
def backup(setup: Setup, file: Path) -> None:
    """Write all that is remembered to a file, also while the server runs; "restore" puts it back."""
    if file.exists():
        raise click.UsageError(f"There is a {file} already. Give a name that is not taken.")
    back_up(setup.url, file)
    click.echo(f"Backed up to {file}, {file.stat().st_size:,} bytes, checked.")


@click.command("restore")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path), required=False)
@click.pass_obj
def restore_backup(setup: Setup, file: Path | None) -> None:
    """Put a backup in place of all that is remembered, which is kept in a file; without FILE, list the backups."""
    url = setup.url
    if file is None:
        _list_backups(url)
        return
    damaged = _set_aside_if_damaged(file_of(url))
    back_up_before_upgrade(url, datetime.now(UTC))
    done = restore(file, url, _free_name(url))
    click.echo(f"Restored: {_rows(done.rows)}.")
    kept = damaged or done.replaced
    click.echo(f"What was there before is kept in {kept}" if kept else "There was nothing before.")


@click.command("move")
@click.argument("url", metavar="URL")
@click.option("--as", "venue", callback=venue_name, help="The name that this bar goes by there, beside others.")
@click.pass_obj
def move_house(setup: Setup, url: str, venue: str) -> None:
    """Copy all that is remembered into another database, PostgreSQL for one; all of it or nothing."""
    try:
        shown = make_url(url).render_as_string()  # without its password
    except ArgumentError as error:
        raise click.UsageError("That is no URL of a database, like postgresql+psycopg://user@host/name.") from error
    for each in (setup.url, url):
        back_up_before_upgrade(each, datetime.now(UTC))
    moved = move(setup.url, url, venue)
    click.echo(f"Moved, and counted there: {_rows(moved)}.")
    click.echo(f"From now on: prep-assistant --database {shown} --venue {venue or setup.venue} serve")
    click.echo("The database it comes from is as it was. Stop whatever still serves from that one.")


@click.command()
@click.option("--port", type=click.IntRange(1, 65535), default=PORT, show_default=True, help="The port to serve on.")
@click.pass_obj
def doctor(setup: Setup, port: int) -> None:
    """Look at all that service rests on, and say what to do. Exit code 1 when something stops service."""
    stopped = False
    certificates = Path(click.get_app_dir("prep-assistant")) / "lan"
    for check in checks(Patient(setup.folder, setup.url, port, certificates)):
        found = check()
        click.echo(f"{found.state.value:<6} {found.subject}: {found.told}")
        if found.todo:
            click.echo(f"       {found.todo}")
        stopped |= found.stops
    click.echo("Something stops service; see above." if stopped else "Nothing stops service.")
    if stopped:
        raise SystemExit(STOPPED)


def _rows(rows: Mapping[str, int]) -> str:
    told = [f"{WORDS[table]} {count:,}" for table, count in rows.items() if count]
    return ", ".join(told) or "nothing"


def _list_backups(url: str) -> None:
    found = backups_of(url)
    for file in found:
        click.echo(f"{made_at(file):%Y-%m-%d %H:%M} UTC  {file}")
    click.echo('"prep-assistant restore FILE" puts one back.' if found else "There is no automatic backup yet.")


def _set_aside_if_damaged(database: Path | None) -> Path | None:
    if database is None or not database.exists() or not is_spoilt(database):
        return None
    return set_aside(database)


def _free_name(url: str) -> Path:
    """Where to keep what a restore replaces: beside the automatic backups, or here."""
    shelf = shelf_of(url)
    return (Path() if shelf is None else shelf.folder) / f"replaced-{datetime.now(UTC):%Y%m%dT%H%M%S%f}Z.db"
