"""The page and its JSON interface."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial

from flask import Flask

from assistant.services import Services as Bar
from assistant.web.body import MOST_BYTES
from assistant.web.door import close_the_door, who_asks
from assistant.web.guard import guard
from assistant.web.hands_free import Services, add_hands_free
from assistant.web.kept_page import add_kept_page
from assistant.web.lists import add_lists
from assistant.web.manager import add_manager
from assistant.web.office import add_office
from assistant.web.pairing import Pairing
from assistant.web.refusals import refuse_in_json
from assistant.web.routes import add_routes

HERE = ("localhost", "127.0.0.1", "[::1]")


def create_app(
    services: Services, hosts: Collection[str] = (), pairing: Pairing | None = None, office: Bar | None = None
) -> Flask:
    """The app that answers with these services, reached under the names of this machine and `hosts`, and no other.

    A page elsewhere that points a name of its own at this machine is refused, since its Host header gives it away.
    With `pairing` only devices that joined are answered; that is for a network, and needs https. With `office`, the
    bar's own services, the manager has pages to edit the book.
    """
    app = Flask(__name__)
    app.config.update(MAX_CONTENT_LENGTH=MOST_BYTES, TRUSTED_HOSTS=[*HERE, *hosts])
    app.json.sort_keys = False  # type: ignore[attr-defined]  # the order of the messages' own fields
    guard(app)
    if pairing is not None:
        close_the_door(app, pairing, lambda: services.tonight().book.house.name)
    refuse_in_json(app)
    add_manager(app, services, partial(who_asks, pairing), hosts)
    add_routes(app, services)
    add_hands_free(app, services)
    add_kept_page(app)
    if office is not None:
        add_office(app, office)
        add_lists(app, office)
    return app
