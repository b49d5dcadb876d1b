"""The commands: `prep-assistant ...`. Each opens what it needs, asks, prints, and ends with an exit code.

Exit codes: 0 answered; 1 it could not go on, or the book has faults; 2 wrong usage; 3 a question was not understood.
"""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import click

from assistant import collector
from assistant.book_files import copy_book, own_book
from assistant.care.automatic import backed_up
from assistant.care.commands import HOUSE, backup, doctor, move_house, restore_backup, venue_name
from assistant.care.logs import set_up_log
from assistant.console import CONVERSATION, NOT_UNDERSTOOD, as_json, show
from assistant.ears.commands import hear, listen, models, recogniser, transcribe
from assistant.ears.hearing import Hearing
from assistant.failures import Commands
from assistant.hearable import aloud, hard_to_hear
from assistant.office.commands import exports, history, imports, report, undo
from assistant.pin_commands import HOW_HERE, UNLOCK, asked_for_pin, pin, try_to_unlock, who_speaks
from assistant.services import Services, default_database
from assistant.web import create_app
from assistant.web.certificate import certificate_for
from assistant.web.device_commands import devices_file, list_devices
from assistant.web.devices import Devices
from assistant.web.lan import OpenToAll, invitation, is_own, lan_address, own_names
from assistant.web.pairing import Pairing
from assistant.web.server import PORT, bind
from recipes.loader import find_faults, load_book

FAULTY = 1
EARS = 2  # utterances that the server hears at a time
GOODBYES = frozenset({"bye", "exit", "goodbye", "quit"})


@dataclass(frozen=True)
class Setup:
    """What stands before the command: which book, which database."""

    book: Path | None
    database: str | None
    venue: str = HOUSE

    @property
    def url(self) -> str:
        """Where the database is."""
        return self.database or default_database()

    def services(self) -> Services:
        """The assistant, for typing. Raises BookError or MemoryFailed."""
        with collector.at_rest():
            return Services(self.book, self.database, venue=self.venue, own_book=own_book())

    @property
    def folder(self) -> Path | None:
        """The folder that was given, else this person's own copy of the book; None is the book that ships."""
        return self.book or (own_book() if own_book().is_dir() else None)

    def services_that_hear(self, recogniser: str, size: int = 1) -> Services:
        """The assistant with an ear, which is made ready in the background. Raises BookError or MemoryFailed."""
        services = self.services()
        services.recogniser = Hearing(
            plan=partial(services.ear_plan, recogniser),
            edition=lambda: services.phrasebook,  # another one whenever names have changed
            name=recogniser,
            size=size,
        )
        return services


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--book", type=click.Path(path_type=Path), envvar="PREP_ASSISTANT_BOOK", help="Folder of book files.")
@click.option("--database", envvar="PREP_ASSISTANT_DATABASE", help="Database URL; else a file in your own data folder.")
@click.option(
    "--venue",
    default=HOUSE,
    show_default=True,
    envvar="PREP_ASSISTANT_VENUE",
    callback=venue_name,
    help="Which bar this is, where several share a database: its stock, prices and quiz.",
)
@click.version_option(package_name="prep-assistant")
@click.pass_context
def main(context: click.Context, book: Path | None, database: str | None, venue: str) -> None:
    """A prep assistant for a bar: specs, amounts, costs and training, by voice or typing, with no internet."""
    context.obj = Setup(book, database, venue)


@main.command()
@click.argument("words", metavar="TEXT", nargs=-1, required=True)
@who_speaks
@click.option("--manager", "is_manager", is_flag=True, help="Ask for the manager's PIN first.")
@as_json
@click.pass_obj
def ask(setup: Setup, words: tuple[str, ...], who: str, is_manager: bool, as_json: bool) -> None:
    """Answer one question, as in: ask "spec for a gimlet".

    Exit code 3 when it is not understood, and 1 when it needs the manager's PIN.
    """
    with closing(setup.services()) as services:
        if is_manager:
            asked_for_pin(services)
        reply = services.ask(" ".join(words), CONVERSATION, who, is_manager)
    show(reply, as_json)
    if reply.pin == "needed":
        raise SystemExit(FAULTY)
    if not reply.understood:
        raise SystemExit(NOT_UNDERSTOOD)


@main.command()
@who_speaks
@click.pass_obj
def chat(setup: Setup, who: str) -> None:
    """Talk by typing; follow-ups keep what they are about. An empty line or "goodbye" ends it.

    "unlock" asks for the manager's PIN.
    """
    with closing(setup.services()) as services:
        click.echo(f"{services.book.house.name}. Ask away; say help for examples, goodbye to end.")
        token = ""
        for line in typed():
            if line.casefold() == UNLOCK:
                token = try_to_unlock(services)
                continue
            reply = services.ask(line, CONVERSATION, who, services.manager.is_unlocked(token))
            if reply.pin == "lock":
                services.manager.lock(token)
            if reply.who != who:
                who = reply.who  # "I'm Ana"
            show(reply)
            click.echo(HOW_HERE + "\n" if reply.pin == "needed" else "")


@main.command()
@click.option("--aloud", "is_aloud", is_flag=True, help="Also print how each name is said, in phones.")
@click.pass_obj
def check(setup: Setup, is_aloud: bool) -> None:
    """Prove the book: every fault with its file, its line and how to mend it. Exit code 1 when there is one."""
    found = find_faults(setup.folder)
    if all(fault.severity == "warning" for fault in found):
        book = load_book(setup.folder)
        found = (*found, *hard_to_hear(book, setup.folder))
    for fault in found:
        click.echo(str(fault))
    if any(fault.severity == "fault" for fault in found):
        raise SystemExit(FAULTY)
    for line in aloud(book) if is_aloud else ():
        click.echo(line)
    warnings = f", {len(found)} warnings" if found else ""
    click.echo(f"The book is sound: {len(book.drinks)} drinks, {len(book.ingredients)} ingredients{warnings}.")


@main.command("copy-book")
@click.argument("folder", type=click.Path(path_type=Path), required=False)
def copy_shipped_book(folder: Path | None) -> None:
    """Copy the book that ships, to be edited: to FOLDER, or to where this program looks for a copy of yours."""
    to = folder or own_book()
    try:
        copy_book(to)
    except FileExistsError as error:
        raise click.UsageError(f"There is something at {to} already. Name a folder that is not there yet.") from error
    except OSError as error:
        raise click.ClickException(f"The copy could not be made: {error}. Nothing is left of it.") from error
    click.echo(f"The book is copied to {to}")
    click.echo("It is used from now on." if folder is None else f"Use it with: prep-assistant --book {to} serve")


@main.command()
@click.option("--host", help="Address to serve on; else this machine only, or with --lan its address on the network.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="Port; 0 takes a free one."
)
@click.option("--lan", is_flag=True, help="Serve phones that join with the code shown: https, and a QR code.")
@click.option("--forget-devices", is_flag=True, help="Have every device that joined before give the code again.")
@click.option(
    "--log",
    type=click.Path(file_okay=False, path_type=Path),
    envvar="PREP_ASSISTANT_LOG",
    help="Folder for the log, which holds nothing that was said; else in your own data folder.",
)
@recogniser
@click.pass_obj
def serve(
    setup: Setup, host: str | None, port: int, lan: bool, forget_devices: bool, log: Path | None, recogniser: str
) -> None:
    """Serve the page and the JSON interface until Ctrl-C."""
    set_up_log(log or data_folder() / "log", setup.url)
    host = host or (lan_address() if lan else "127.0.0.1")
    if not (lan or is_own(host)):
        raise OpenToAll(host)
    certificate = certificate_for(host, data_folder() / "lan") if lan else None
    pairing = _pairing(forget_devices) if lan else None
    with closing(setup.services_that_hear(recogniser, size=EARS)) as services, backed_up(setup.url):
        collector.spare_what_is_there()
        running = bind(create_app(services, (host, *own_names()), pairing, services), host, port, certificate)
        signal.signal(signal.SIGTERM, signal.default_int_handler)  # as Ctrl-C
        click.echo(f"{services.book.house.name} is at {running.address}")
        click.echo(f"The manager's pages are at {running.address}office")
        if certificate is not None and pairing is not None:
            invite = partial(invitation, running.address, certificate.fingerprint)
            click.echo(invite(pairing.new_code()))
            on_enter(lambda: click.echo(invite(pairing.new_code())))
        click.echo("Ctrl-C ends it.")
        running.run()


def _pairing(forget_devices: bool) -> Pairing:
    devices = Devices(devices_file())
    if forget_devices:
        devices.forget_all()
    return Pairing(devices, _tell_who_joined)


def _tell_who_joined(address: str) -> None:
    click.echo(f"A device at {address} has joined. If it is none of yours: prep-assistant devices")


def on_enter(act: Callable[[], None]) -> None:
    """Do something at each press of Enter from now on, where somebody sits at a terminal."""
    if sys.stdin is None or not sys.stdin.isatty():
        return

    def watch() -> None:
        for _ in sys.stdin:
            act()

    threading.Thread(target=watch, name="enter", daemon=True).start()


for command in (backup, doctor, list_devices, exports, hear, history, imports, listen, models, move_house, pin, report):
    main.add_command(command)
for command in (restore_backup, transcribe, undo):
    main.add_command(command)


def data_folder() -> Path:
    """This person's own folder for what the program keeps."""
    return Path(click.get_app_dir("prep-assistant"))


def typed() -> Iterator[str]:
    """Lines as they are typed, until an empty one, a goodbye, the end of input or Ctrl-C."""
    prompt = "> " if sys.stdin.isatty() else ""
    while True:
        try:
            line = input(prompt).strip()
        except (EOFError, KeyboardInterrupt):
            click.echo()
            return
        if not line or line.casefold() in GOODBYES:
            return
        yield line
