"""What a command says when it cannot go on: one sentence for each kind of failure, and no traceback."""

from __future__ import annotations

from typing import Any

import click

from assistant.answers import pins
from assistant.answers.speech import joined
from assistant.ears.errors import EarsError
from assistant.errors import (
    BackupRefused,
    Damaged,
    DiskFull,
    MemoryFailed,
    Miscounted,
    MoveRefused,
    NewerDatabase,
    PinError,
    ReadOnly,
)
from assistant.web.lan import NoNetwork, OpenToAll
from assistant.web.server import CannotServe
from grammar.errors import GrammarError
from recipes.errors import BookError

NOT_MOVED = {  # why not; the names in the way stand in the braces
    "nothing": "There is nothing to move in the database here. Give the one to move with --database.",
    "many": "The database here has several venues, {}, so they cannot go by one name there. Leave --as out.",
    "there": "There is a venue called {} there already. Give another name with --as.",
    "moved": "This database was moved there before.",
    "drinks": "The book there has other drinks by the names of ones kept here: {}. Undo or rename those first.",
}


class Commands(click.Group):
    """A group whose commands end with a sentence and exit code 1 where they cannot go on."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; a failure that is known becomes its sentence."""
        try:
            return super().invoke(ctx)
        except Exception as error:
            sentence = sentence_for(error)
            if sentence is None:
                raise
            raise click.ClickException(sentence) from error


def sentence_for(error: Exception) -> str | None:
    """What happened and what to do now; None for an error that nobody foresaw."""
    match error:
        case BookError():
            return f"The book cannot be used until this is mended.\n{error}"
        case PinError():
            return pins.refused(error)
        case EarsError() | GrammarError():
            return f"That cannot be done: {error}."
        case NewerDatabase():
            return (
                f"The database was changed by a later version of this program: its schema is {error.found}, and this "
                f"one knows {error.known}. Nothing was touched. Update the program, or give another with --database."
            )
        case BackupRefused():
            return f"{error.file} is no backup of this program's, or it is damaged. Nothing has changed."
        case MoveRefused():
            return NOT_MOVED[error.reason].format(joined(error.names)) + " Nothing was moved."
        case Miscounted():
            return "What arrived is not what was sent, so none of it was kept. Nothing has changed; try it again."
        case DiskFull():
            return "The disk is full, so nothing was changed. Make room on it and try again."
        case ReadOnly():
            return "The database may only be read, so nothing was changed. Give this program leave to write it."
        case Damaged():
            return (
                "The database is damaged, and no automatic backup is there to take its place, so it was left as it is."
                ' "prep-assistant restore FILE" puts a backup of yours there; or give another with --database.'
            )
        case MemoryFailed():
            return (
                "The database cannot be opened. Check the path or the URL after --database, and that it can be written."
            )
        case CannotServe():
            return f"Nothing can be served at {error.host}, port {error.port}. Give another with --host or --port."
        case OpenToAll():
            return (
                f"Others on the network reach {error.host}, and without --lan anyone among them could ask and change"
                " things. Add --lan, which lets in only devices that you give a code, or leave --host out."
            )
        case NoNetwork():
            return "This machine is on no network just now. Join one, or leave --lan out."
    return None
