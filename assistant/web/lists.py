"""Lists in and out, on the page: a supplier's prices, a till's sales, recipes from elsewhere; what a bar takes along.

A list is first shown with what it would do. To be taken it is sent again, so nothing half done waits on the server.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping

from flask import Blueprint, Flask, Response, jsonify, request
from flask.typing import ResponseReturnValue
from pydantic import Field

from assistant.answers.list_lines import PAGE
from assistant.editing.history import History
from assistant.errors import ListRefused
from assistant.office.columns import first_lines, kinds_of_column, sheet_of
from assistant.office.exports import book_archive, memory_document, menu_csv, prices_csv, trail_csv, whole_trail
from assistant.office.recipe_export import recipes_document
from assistant.office.spreadsheet import text_of
from assistant.office.supplier import Asked
from assistant.office.taking import Given, Kind, Outcome, take
from assistant.rights import BOOK, EXPORTS, PRICES, SALES
from assistant.services import Services
from assistant.web.body import MOST_BYTES, Body, Who
from assistant.web.forms import Short
from assistant.web.manager import needing
from assistant.web.manager_pages import manager_page
from assistant.web.received import body_bytes
from assistant.web.refusals import Refused
from assistant.wire import to_json
from recipes.loader import texts_of

PAGE_NAME = "the page"  # in whose name a change is made when nobody says so
SHOWN = 6  # lines of a list above which its columns are named
NEEDS: Mapping[Kind, str] = {"prices": PRICES, "sales": SALES, "recipes": BOOK}
CSV, JSON, JSON_LD, ZIP = "text/csv; charset=utf-8", "application/json", "application/ld+json", "application/zip"


class ListQuery(Body):
    """What goes with a list: which column holds what, which names are whose, and whether to take it."""

    columns: dict[Short, Short] = Field(default={})  # what it holds -> the column's number from 1
    matches: dict[Short, list[Short]] = Field(default={})  # its name -> the book's
    large: bool = False
    take: bool = False
    who: Who = ""


def add_lists(app: Flask, services: Services) -> None:
    """Gives the app the page of lists, and its imports and exports."""
    lists = Blueprint("lists", __name__)
    exports, need = _exports(services), needing(services)

    @lists.get("/office/lists")
    def page() -> ResponseReturnValue:
        return manager_page(services, EXPORTS, "lists.html", dict)

    @lists.post("/api/office/lists/<any(prices, sales, recipes):kind>")
    def given(kind: Kind) -> ResponseReturnValue:
        need(NEEDS[kind])
        query = _query(request.args.get("with", "{}"))
        asked = Asked(query.columns, {name: tuple(ours) for name, ours in query.matches.items()}, query.large)
        data = body_bytes(MOST_BYTES)
        found = take(kind, Given(data, asked, (query.who or PAGE_NAME) if query.take else "", PAGE), services)
        return jsonify({**_packed(found), "columns": _columns(kind, data, asked)})

    @lists.get("/office/export/<what>")
    def export(what: str) -> ResponseReturnValue:
        need(EXPORTS)
        if what not in exports:
            raise Refused(404)
        mimetype, write = exports[what]
        headers = {"Content-Disposition": f'attachment; filename="{what}"', "Cache-Control": "no-store"}
        return Response(write(), content_type=mimetype, headers=headers)

    app.register_blueprint(lists)


def _query(text: str) -> ListQuery:
    try:
        return ListQuery.model_validate(json.loads(text))
    except (json.JSONDecodeError, RecursionError):
        raise Refused(400) from None


def _packed(found: Outcome) -> dict[str, object]:
    near = [{"name": line.name, "near": list(line.near)} for line in found.near]
    return {"reply": to_json(found.reply), "near": near, "can_be_taken": found.can_be_taken}


def _columns(kind: Kind, data: bytes, asked: Asked) -> dict[str, object] | None:
    """The first lines of a list, what a column can hold, and what each was taken to hold; None for recipes."""
    if kind == "recipes":
        return None
    try:
        text = text_of(data)
    except ListRefused:
        return None
    try:
        places = dict(sheet_of(text, kind, asked.columns).places)
    except ListRefused:
        places = {}
    return {"lines": first_lines(text, SHOWN), "can_hold": kinds_of_column(kind), "places": places}


def _exports(services: Services) -> dict[str, tuple[str, Callable[[], str | bytes]]]:
    """What can be taken along: by the name of its file, of which type it is, and how it is written."""
    return {
        "recipes.json": (JSON_LD, lambda: _json(recipes_document(services.book))),
        "prices.csv": (CSV, lambda: prices_csv(services.book)),
        "menu.csv": (CSV, lambda: menu_csv(services.book)),
        "trail.csv": (CSV, lambda: trail_csv(whole_trail(services.memory, History(services.files.folder).edits()))),
        "memory.json": (JSON, lambda: _json(memory_document(services.memory))),
        "book.zip": (ZIP, lambda: book_archive(texts_of(services.files.folder))),
    }


def _json(document: Mapping[str, object]) -> str:
    return json.dumps(document, ensure_ascii=False, indent=1)
