"""The commands: `prep-assistant ...`. Each opens what it needs, asks, prints, and ends with an exit code.

Exit codes: 0 answered; 1 it could not go on, or the book has faults; 2 wrong usage; 3 a question was not understood.
"""

from __future__ import annotations

import json
import shutil
import signal
import socket
import sys
from collections.abc import Iterator
from contextlib import closing
from dataclasses import asdict, dataclass
from pathlib import Path

import click

from assistant.console import WIDTH, render
from assistant.ears.choose import AUTO, CHOICES
from assistant.ears.errors import NotSound
from assistant.ears.hearing import Hearing
from assistant.ears.sound import open_sound
from assistant.ears.transcribe import transcribe as transcribed
from assistant.failures import Commands
from assistant.messages import Reply
from assistant.office.commands import exports, history, imports, report, undo
from assistant.services import Services
from assistant.web import create_app
from assistant.web.certificate import certificate_for
from assistant.web.lan import invitation, lan_address
from assistant.web.server import bind
from assistant.wire import to_json
from recipes.loader import find_faults, load_book

NOT_UNDERSTOOD = 3
FAULTY = 1
PORT = 8462
EARS = 2  # utterances that the server hears at a time
CONVERSATION = "terminal"
GOODBYES = frozenset({"bye", "exit", "goodbye", "quit"})

recogniser = click.option(
    "--recogniser",
    type=click.Choice(CHOICES),
    default=AUTO,
    show_default=True,
    help="Which recogniser hears; auto takes Vosk where it has an English model.",
)
recording = click.Path(exists=True, dir_okay=False, path_type=Path)
as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line instead of text.")


@dataclass(frozen=True)
class Setup:
    """What stands before the command: which book, which database."""

    book: Path | None
    database: str | None

    def services(self) -> Services:
        """The assistant, for typing. Raises BookError or MemoryFailed."""
        return Services(self.book, self.database)

    def services_that_hear(self, recogniser: str, size: int = 1) -> Services:
        """The assistant with an ear, which is made ready in the background. Raises BookError or MemoryFailed."""
        services = self.services()
        services.recogniser = Hearing(
            sayable=lambda: services.phrasebook.network(),
            edition=lambda: services.phrasebook,  # another one whenever names have changed
            recogniser=recogniser,
            size=size,
        )
        return services


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--book", type=click.Path(path_type=Path), envvar="PREP_ASSISTANT_BOOK", help="Folder of book files.")
@click.option("--database", envvar="PREP_ASSISTANT_DATABASE", help="Database URL; else a file in your own data folder.")
@click.version_option(package_name="prep-assistant")
@click.pass_context
def main(context: click.Context, book: Path | None, database: str | None) -> None:
    """A prep assistant for a bar: specs, amounts, costs and training, by voice or typing, with no internet."""
    context.obj = Setup(book, database)


@main.command()
@click.argument("words", metavar="TEXT", nargs=-1, required=True)
@as_json
@click.pass_obj
def ask(setup: Setup, words: tuple[str, ...], as_json: bool) -> None:
    """Answer one question, as in: ask "spec for a gimlet". Exit code 3 when it is not understood."""
    with closing(setup.services()) as services:
        reply = services.ask(" ".join(words), CONVERSATION)
    show(reply, as_json)
    if not reply.understood:
        raise SystemExit(NOT_UNDERSTOOD)


@main.command()
@click.pass_obj
def chat(setup: Setup) -> None:
    """Talk by typing; follow-ups keep what they are about. An empty line or "goodbye" ends it."""
    with closing(setup.services()) as services:
        click.echo(f"{services.book.house.name}. Ask away; say help for examples, goodbye to end.")
        for line in typed():
            show(services.ask(line, CONVERSATION))
            click.echo()


@main.command()
@click.argument("recordings", metavar="FILE...", nargs=-1, required=True, type=recording)
@as_json
@recogniser
@click.pass_obj
def hear(setup: Setup, recordings: tuple[Path, ...], as_json: bool, recogniser: str) -> None:
    """Hear recordings in one conversation, a question each. Exit code 3 when one is not understood."""
    understood = True
    with closing(setup.services_that_hear(recogniser)) as services:
        for file in recordings:
            try:
                heard = services.hear(open_sound(file))
            except NotSound as error:
                raise click.ClickException(f"{file}: {error}.") from error
            reply = services.ask(heard, CONVERSATION)
            understood &= reply.understood
            show_heard(file, reply, as_json)
    if not understood:
        raise SystemExit(NOT_UNDERSTOOD)


@main.command()
@click.option("--grammar", required=True, type=recording, help="The JSGF file with all that can be said.")
@click.argument("recordings", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@as_json
@recogniser
def transcribe(grammar: Path, recordings: tuple[Path, ...], as_json: bool, recogniser: str) -> None:
    """Hear recordings against any JSGF grammar, a line each. Exit code 1 when one could not be heard."""
    faulty = False
    for transcript in transcribed(grammar, recordings, recogniser):
        faulty |= bool(transcript.fault)
        told = {name: value for name, value in asdict(transcript).items() if name != "fault" or value}
        click.echo(json.dumps(told, ensure_ascii=False) if as_json else f"{transcript.file}: {transcript.text}")
        if transcript.fault:
            click.echo(f"{transcript.file}: {transcript.fault}.", err=True)
    if faulty:
        raise SystemExit(FAULTY)


@main.command()
@click.pass_obj
def check(setup: Setup) -> None:
    """Prove the book: every fault with its file, its line and how to mend it. Exit code 1 when there is one."""
    found = find_faults(setup.book)
    for fault in found:
        click.echo(str(fault))
    faults = sum(fault.severity == "fault" for fault in found)
    if faults:
        raise SystemExit(FAULTY)
    book = load_book(setup.book)
    warnings = f", {len(found)} things unknown" if found else ""
    click.echo(f"The book is sound: {len(book.drinks)} drinks, {len(book.ingredients)} ingredients{warnings}.")


@main.command()
@click.option("--host", help="Address to serve on; else this machine only, or with --lan its address on the network.")
@click.option(
    "--port", type=click.IntRange(0, 65535), default=PORT, show_default=True, help="Port; 0 takes a free one."
)
@click.option("--lan", is_flag=True, help="Serve phones in the bar: https with a certificate made here, and a QR code.")
@recogniser
@click.pass_obj
def serve(setup: Setup, host: str | None, port: int, lan: bool, recogniser: str) -> None:
    """Serve the page and the JSON interface until Ctrl-C."""
    host = host or (lan_address() if lan else "127.0.0.1")
    certificate = certificate_for(host, data_folder() / "lan") if lan else None
    with closing(setup.services_that_hear(recogniser, size=EARS)) as services:
        running = bind(create_app(services, hosts=(host, socket.gethostname())), host, port, certificate)
        signal.signal(signal.SIGTERM, signal.default_int_handler)  # as Ctrl-C
        click.echo(f"{services.book.house.name} is at {running.address}")
        if certificate is not None:
            click.echo(invitation(running.address, certificate.fingerprint))
        click.echo("Ctrl-C ends it.")
        running.run()


main.add_command(exports)
main.add_command(history)
main.add_command(imports)
main.add_command(report)
main.add_command(undo)


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


def show_heard(file: Path, reply: Reply, as_json: bool) -> None:
    """Print what was heard in a file, and the reply; for programs the reply says both."""
    if not as_json:
        click.echo(f"{file}: \u201c{reply.heard.text if reply.heard else ''}\u201d")
    show(reply, as_json)
    if not as_json:
        click.echo()


def show(reply: Reply, as_json: bool = False) -> None:
    """Print a reply, for people or for programs."""
    if as_json:
        click.echo(json.dumps(to_json(reply), ensure_ascii=False))
    else:
        click.echo(render(reply, min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns)))
