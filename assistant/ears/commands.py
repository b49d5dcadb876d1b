"""The commands that hear: recordings, this machine's microphone, any grammar; and the speech models."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import closing
from dataclasses import asdict
from pathlib import Path
from typing import Protocol

import click

from assistant.console import CONVERSATION, NOT_UNDERSTOOD, as_json, show
from assistant.ears import models as shelf
from assistant.ears.base import Sound
from assistant.ears.choose import AUTO, CHOICES
from assistant.ears.endpoints import utterances
from assistant.ears.errors import NotSound
from assistant.ears.listening import hands_free as answer_the_phrase
from assistant.ears.microphone import pieces
from assistant.ears.sound import open_sound
from assistant.ears.transcribe import Transcript
from assistant.ears.transcribe import transcribe as transcribed
from assistant.messages import Reply
from assistant.services import Services
from assistant.voice import Voice

FAULTY = 1
MEGABYTE = 1_000_000


class Setup(Protocol):
    """What stands before the command."""

    def services_that_hear(self, recogniser: str) -> Services:
        """The assistant with an ear. Raises BookError or MemoryFailed."""


file = click.Path(exists=True, dir_okay=False, path_type=Path)
recogniser = click.option(
    "--recogniser",
    type=click.Choice(CHOICES),
    default=AUTO,
    show_default=True,
    help="Which recogniser hears; auto takes Vosk where it has an English model.",
)


@click.command()
@click.argument("recordings", metavar="FILE...", nargs=-1, required=True, type=file)
@as_json
@recogniser
@click.pass_obj
def hear(setup: Setup, recordings: tuple[Path, ...], as_json: bool, recogniser: str) -> None:
    """Hear recordings, a question each, as one conversation. Exit code 3 when one is not understood."""
    understood = True
    with closing(setup.services_that_hear(recogniser)) as services:
        for recording in recordings:
            reply = services.ask(services.hear(_opened(recording), CONVERSATION), CONVERSATION)
            understood &= reply.understood
            _show_heard(str(recording), reply, as_json)
    if not understood:
        raise SystemExit(NOT_UNDERSTOOD)


@click.command()
@click.option("--mute", is_flag=True, help='Show replies without speaking them, until told "voice on".')
@click.option("--hands-free", is_flag=True, help="Answer only what follows the house's wake phrase.")
@recogniser
@click.pass_obj
def listen(setup: Setup, mute: bool, hands_free: bool, recogniser: str) -> None:
    """Listen to this machine's microphone and answer aloud, until Ctrl-C."""
    voice = Voice(is_on=not mute)
    with closing(setup.services_that_hear(recogniser)) as services:
        if hands_free:
            answer_the_phrase(services, lambda reply: _show_heard("", reply), voice.speak)
            return
        click.echo(f"{services.book.house.name}. Ask away; Ctrl-C ends it.")
        for sound in _one_at_a_time():
            heard = services.hear(sound, CONVERSATION)
            if not heard.text:
                continue  # a door, a glass, talk of something else
            reply = services.ask(heard, CONVERSATION)
            _show_heard("", reply)
            voice.speak(reply)


@click.command()
@click.option("--grammar", required=True, type=file, help="The JSGF file with all that can be said.")
@click.argument("recordings", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@as_json
@recogniser
def transcribe(grammar: Path, recordings: tuple[Path, ...], as_json: bool, recogniser: str) -> None:
    """Hear recordings against any JSGF grammar, a line each. Exit code 1 when one could not be heard."""
    faulty = False
    for transcript in transcribed(grammar, recordings, recogniser):
        faulty |= bool(transcript.fault)
        click.echo(_as_json(transcript) if as_json else f"{transcript.file}: {transcript.text}")
        if transcript.fault:
            click.echo(f"{transcript.file}: {transcript.fault}.", err=True)
    if faulty:
        raise SystemExit(FAULTY)


@click.group(invoke_without_command=True)
@click.pass_context
def models(context: click.Context) -> None:
    """List the speech models for Vosk, or fetch one. PocketSphinx needs none of them."""
    if context.invoked_subcommand is None:
        context.invoke(list_models)


@models.command("list")
def list_models() -> None:
    """List the models that are known, and where each is."""
    for each in shelf.listed():
        where = str(each.path) if each.path else f"not here, {each.model.megabytes} MB to fetch"
        click.echo(f"{each.model.name}: {each.model.title}, {each.model.licence}; {where}.")


@models.command("fetch")
@click.argument("name")
def fetch_model(name: str) -> None:
    """Fetch the model NAME; when it breaks off, the same command goes on where it was."""
    click.echo(f"It is in {shelf.fetch(name, progress=_progress)}.")


def _opened(recording: Path) -> Sound:
    try:
        return open_sound(recording)
    except NotSound as error:
        raise click.ClickException(f"{recording}: {error}.") from error


def _one_at_a_time() -> Iterator[Sound]:
    """Utterances from the microphone, which is closed while each is answered: it would hear the answer."""
    try:
        while True:
            with closing(pieces()) as microphone:
                sound = next(utterances(microphone))
            yield sound
    except KeyboardInterrupt:
        click.echo()


def _show_heard(where: str, reply: Reply, as_json: bool = False) -> None:
    """Print what was heard, and the reply; for programs the reply says both."""
    if not as_json:
        text = reply.heard.text if reply.heard else ""
        click.echo(f"{where}: \u201c{text}\u201d" if where else f"\u201c{text}\u201d")
    show(reply, as_json)
    if not as_json:
        click.echo()


def _as_json(transcript: Transcript) -> str:
    told = {name: value for name, value in asdict(transcript).items() if name != "fault" or value}
    return json.dumps(told, ensure_ascii=False)


def _progress(done: int, total: int) -> None:
    of_all = f" of {total // MEGABYTE}" if total else ""
    click.echo(f"\r{done // MEGABYTE}{of_all} MB", nl=done == total, err=True)
