"""What was sent with a request, read to a bound: too much is refused by its announced size, unread."""

from __future__ import annotations

import json
from typing import TypeVar

from flask import request

from assistant.web.body import MOST_JSON_BYTES, Body
from assistant.web.refusals import Refused

Shape = TypeVar("Shape", bound=Body)


def json_body(shape: type[Shape], most_bytes: int = MOST_JSON_BYTES) -> Shape:
    """The JSON object of the request. Raises Refused, HTTPException (too long) or pydantic's ValidationError."""
    if not request.is_json:
        raise Refused(415)
    try:
        return shape.model_validate(json.loads(body_bytes(most_bytes)))
    except (json.JSONDecodeError, UnicodeDecodeError, RecursionError):  # the last: brackets in brackets without end
        raise Refused(400) from None


def body_bytes(most_bytes: int) -> bytes:
    """The whole body. Raises Refused, or HTTPException when it is too long."""
    request.max_content_length = most_bytes
    try:
        data = request.get_data()
    except (OSError, ValueError):  # cheroot's words for a body in chunks that breaks off or has no such chunk
        raise Refused(400) from None
    if len(data) < (request.content_length or 0):
        raise Refused(400)  # the sender was cut off
    return data
