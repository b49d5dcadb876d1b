"""Hands-free at this machine's own microphone: the house's phrase wakes it, a bell and a line say that it listens."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import closing, suppress
from functools import partial

import click

from assistant.console import CONVERSATION
from assistant.ears.attention import State
from assistant.ears.base import Sound
from assistant.ears.microphone import pieces
from assistant.hands_free import HandsFree
from assistant.messages import Reply
from assistant.services import Services

BELL = "\a"
NO_PHRASE = "This house has no wake phrase. Write one in house.toml, as wake_phrase."

Told = Callable[[Reply], None]


def hands_free(services: Services, show: Told, speak: Told) -> None:
    """Wait for the phrase and answer, until Ctrl-C; a Ctrl-C while it speaks ends what it says.

    The microphone is shut while it speaks: it would hear itself. Raises NoMicrophone, and what recognisers raise.
    """
    phrase = services.book.house.wake_phrase
    if not phrase:
        raise click.ClickException(NO_PHRASE)
    click.echo(
        f"{services.book.house.name}. Say \u201c{phrase}\u201d, and ask. Ctrl-C stops what it says, then ends it."
    )
    talk = HandsFree(
        partial(services.hear, conversation=CONVERSATION), services.spotter, phrase, services.tells_partials
    )
    with suppress(KeyboardInterrupt):
        while True:
            with closing(pieces()) as microphone:
                reply = _next_reply(talk, services, microphone)
            show(reply)
            with suppress(KeyboardInterrupt):
                speak(reply)
    click.echo()


def _next_reply(talk: HandsFree, services: Services, microphone: Iterable[Sound]) -> Reply:
    """The reply to the next command; what goes on until then is told."""
    state, ask = State.ASLEEP, partial(services.ask, conversation=CONVERSATION)
    for piece in microphone:
        moment = talk.take(piece, ask)
        if moment.reply is not None:
            return moment.reply
        if moment.state is not state:
            state = moment.state
            click.echo(f"{BELL}Listening." if state is State.LISTENING else "Waiting for the phrase.")
        if moment.partial:
            click.echo(f"\r\u201c{moment.partial} \u2026", nl=False)
    raise KeyboardInterrupt  # the microphone has ended
