"""What may be sent to the server: one pydantic model a body, nothing extra allowed."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, StringConstraints

from assistant.newcomers import is_name

LONGEST_TEXT = 300  # characters of one question
MOST_BYTES = 6_000_000  # of one body: half a minute of 16-bit sound, in stereo at 48 kHz
MOST_JSON_BYTES = 8_000  # of a body of text: the longest question with every letter escaped, and room to spare
LONGEST_CODE = 20  # characters, with whatever people put between the letters

Conversation = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9-]{1,64}$")]


def _name_or_none(text: str) -> str:
    if text and not is_name(text):
        raise ValueError("no name")
    return text


Who = Annotated[str, StringConstraints(strip_whitespace=True), AfterValidator(_name_or_none)]


class Body(BaseModel):
    """The root of all bodies."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class AskBody(Body):
    """A typed question, in a conversation of the sender's naming, by whoever says so."""

    text: Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=LONGEST_TEXT)]
    conversation: Conversation = "page"
    who: Who = ""


class HearQuery(Body):
    """What goes with a sound: the conversation it belongs to, and who speaks."""

    conversation: Conversation = "page"
    who: Who = ""


class StreamQuery(HearQuery):
    """What goes with a piece of a hands-free stream: which stream it is, and whether a reply is being spoken."""

    stream: Conversation = "page"
    aloud: bool = False


class JoinBody(Body):
    """The code from the server's screen."""

    code: Annotated[str, StringConstraints(min_length=1, max_length=LONGEST_CODE)]
