"""A page of the manager's: shown to whoever may see it; to others, the place to type the PIN."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from flask import render_template
from flask.typing import ResponseReturnValue

from assistant.services import Services
from assistant.web.manager import needing
from assistant.web.refusals import Refused

LOCKED = 403


def manager_page(
    services: Services, subject: str, template: str, shown: Callable[[], Mapping[str, object]]
) -> ResponseReturnValue:
    """The page of a template under `office/`, with what is shown on it, if whoever asks may do `subject`."""
    house = services.book.house.name
    try:
        needing(services)(subject)
    except Refused as refusal:
        if refusal.status != LOCKED:
            raise
        return render_template("office/locked.html", house=house, sentence=refusal.sentence), LOCKED
    return render_template(f"office/{template}", house=house, **shown())
