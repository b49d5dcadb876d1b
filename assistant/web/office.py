"""The manager's pages of the book: its list, the forms that change it, what a pack costs, and the history.

Every route begins with what its sender needs to be let do: the manager's PIN decides.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, replace
from decimal import Decimal

from flask import Blueprint, Flask, jsonify, request
from flask.typing import ResponseReturnValue

from assistant.answers import edits, talk
from assistant.answers.base import Scene
from assistant.answers.edits import what_changed
from assistant.answers.pack_prices import set_price
from assistant.answers.price_history import price_history, when
from assistant.editing.desk import Desk, Report
from assistant.editing.drafts import Kind
from assistant.editing.history import Edit
from assistant.editing.rewriting import Fields
from assistant.errors import EditRefused, MemoryFailed
from assistant.messages import Focus, Reply
from assistant.rights import BOOK, PRICES
from assistant.services import Services
from assistant.web.body import Body, Who
from assistant.web.forms import MOST_DRAFT_BYTES, DraftBody, Short, form_values, money_typed
from assistant.web.manager import is_manager, needing
from assistant.web.manager_pages import manager_page
from assistant.web.received import json_body
from assistant.web.refusals import Refused
from assistant.web.shelves import drink_shelves, ingredient_shelves
from assistant.wire import to_json
from grammar.command import Command, Intent
from recipes.model import Book, Ice, Method, Role
from recipes.safety import ALLERGENS

CONFLICT = 409  # the status of HTTP for a book that cannot be read, or edited, as it stands
PAGE_NAME = "the page"  # in whose name a change is made when nobody says so
NOT_MONEY = "That is no price. Write what one pack costs, as 24.50."


class UndoBody(Body):
    """The token of an edit, and whose hand takes it back."""

    token: Short
    who: Who = ""


class RemoveBody(Body):
    """An entry that is to go, as it was when it was opened, and whose hand takes it out."""

    kind: Kind
    was: Short
    seen: Short
    who: Who = ""


class PriceBody(Body):
    """What a pack of an ingredient costs now."""

    ingredient: Short
    price: Short
    who: Who = ""


class KeepBody(DraftBody):
    """A draft that is to be kept, and by whom."""

    who: Who = ""


def add_office(app: Flask, services: Services) -> None:
    """Gives the app the pages of the book's desk."""
    desk, need = Desk(services), needing(services)
    office = Blueprint("office", __name__)

    @office.get("/office")
    def book() -> ResponseReturnValue:
        return manager_page(services, BOOK, "book.html", lambda: _lists(services, desk))

    @office.get("/office/<any(drink, ingredient):kind>")
    def form(kind: Kind) -> ResponseReturnValue:
        name = request.args.get("name", "")
        return manager_page(services, BOOK, "form.html", lambda: _form(kind, name, services, desk))

    @office.get("/office/history")
    def history() -> ResponseReturnValue:
        return manager_page(services, BOOK, "history.html", lambda: {"lines": _edits(desk)})

    @office.post("/api/office/weigh")
    def weigh() -> ResponseReturnValue:
        need(BOOK)
        body = json_body(DraftBody, MOST_DRAFT_BYTES)
        return jsonify(_reported(desk.weigh_up(body.draft(services.book.house.currency))))

    @office.post("/api/office/keep")
    def keep() -> ResponseReturnValue:
        need(BOOK)
        body = json_body(KeepBody, MOST_DRAFT_BYTES)
        return jsonify(to_json(desk.keep(body.draft(services.book.house.currency), body.who or PAGE_NAME)))

    @office.post("/api/office/remove")
    def remove() -> ResponseReturnValue:
        need(BOOK)
        body = json_body(RemoveBody)
        return jsonify(to_json(desk.remove(body.kind, body.was, body.seen, body.who or PAGE_NAME)))

    @office.post("/api/office/undo")
    def undo() -> ResponseReturnValue:
        need(BOOK)
        body = json_body(UndoBody)
        return jsonify(to_json(_taken_back(body.token, body.who or PAGE_NAME, desk, services)))

    @office.post("/api/office/own")
    def own() -> ResponseReturnValue:
        need(BOOK)
        return jsonify(to_json(desk.make_own()))

    @office.post("/api/office/price")
    def price() -> ResponseReturnValue:
        need(PRICES)
        body = json_body(PriceBody)
        return jsonify(to_json(_priced(body, services)))

    app.register_blueprint(office)
    app.register_error_handler(EditRefused, lambda error: (jsonify(error=edits.refused(error).say), CONFLICT))
    app.jinja_env.globals["has_office"] = True


def _lists(services: Services, desk: Desk) -> dict[str, object]:
    now = services.tonight()
    costs_shown = services.rights(is_manager(services.manager)).sees_costs
    return {
        "is_shipped": desk.is_shipped,
        "folder": desk.folder,
        "drinks": drink_shelves(now.book, costs_shown),
        "ingredients": ingredient_shelves(now.book, desk.names_by_page("ingredient"), costs_shown),
        "faults": [edits.fault_elsewhere(fault) for trouble in now.troubles for fault in trouble.faults],
    }


def _edits(desk: Desk) -> list[tuple[Edit, str, tuple[str, ...], bool]]:
    """Every edit, the latest first: when it was, what it changed, whether it could be undone now."""
    return [(edit, when(edit.at), what_changed(edit), can_undo) for edit, can_undo in desk.history()]


def _form(kind: Kind, name: str, services: Services, desk: Desk) -> dict[str, object]:
    """What the form shows: an entry as it stands in its file, one that was kept by voice, or nothing yet."""
    book = services.book
    fields, was, seen, page = _entry(kind, name, book, desk)
    ingredient = book.ingredients.get(was) if kind == "ingredient" else None
    priced = ingredient is not None and ingredient.pack is not None
    return {
        "is_shipped": desk.is_shipped,
        "kind": kind,
        "was": was,
        "seen": seen,
        "page": page,
        "name": name,
        "values": form_values(fields),
        "pages": desk.pages(kind),
        "usual_source": desk.usual_sources(kind),
        "choices": _choices(book),
        "book": book,
        "price": price_history(was, services.memory.history("price", was), book) if priced else None,
    }


def _entry(kind: Kind, name: str, book: Book, desk: Desk) -> tuple[Fields, str, str, str]:
    """The fields, the name of the entry in its file (empty: a new one), its fingerprint and its file."""
    if not name:
        return {}, "", "", ""
    try:
        opened = desk.opened(kind, name)
    except EditRefused as refusal:
        if kind == "drink" and name in book.drinks:
            return desk.as_new(book.drinks[name]), "", "", ""
        raise Refused(404, edits.refused(refusal).say) from refusal
    return opened.fields, name, opened.fingerprint, opened.page


def _choices(book: Book) -> dict[str, list[tuple[str, str]]]:
    """What can be chosen in each field: what is sent, and what is shown."""
    garnishes = [one.name for one in book.ingredients.values() if one.role is Role.GARNISH]
    return {
        "method": _alike(Method),
        "ice": _alike(Ice),
        "role": _alike(Role),
        "glass": _alike(book.glasses),
        "family": [(family.id, family.title) for family in book.families.values()],
        "source": [(source.id, source.title) for source in book.sources.values()],
        "allergens": _alike(sorted(ALLERGENS)),
        "ingredients": _alike(book.ingredients),
        "garnishes": _alike(garnishes),
    }


def _alike(words: Iterable[str]) -> list[tuple[str, str]]:
    return [(str(word), str(word)) for word in words]


def _reported(report: Report) -> dict[str, object]:
    return {
        "reply": to_json(report.reply),
        "faults": dict(report.faults),
        "elsewhere": list(report.elsewhere),
        "lines": {field: [asdict(line) for line in lines] for field, lines in report.lines.items()},
        "text": report.text,
    }


def _priced(body: PriceBody, services: Services) -> Reply:
    """A new price for tonight's book, noted in the memory as one that is spoken is; the files keep theirs."""
    now = services.tonight()
    price = money_typed(body.price, now.book.house.currency)
    if body.ingredient not in now.book.ingredients or not isinstance(price, Decimal):
        return Reply(NOT_MONEY, understood=False)
    command = Command(Intent.SET_PRICE, {"ingredient": body.ingredient, "money": price})
    answer = set_price(command, Scene(now.book, now.out, Focus()))
    if answer.change is None:
        return answer.reply
    return replace(answer.reply, undo=services.memory.apply(answer.change, body.who or PAGE_NAME))


def _taken_back(token: str, who: str, desk: Desk, services: Services) -> Reply:
    """An edit of the book taken back, or else a change that the memory knows: a price, a list."""
    if desk.knows(token):
        return desk.undo(token, who)
    try:
        return talk.undone(services.memory.undo(token, who), services.book.house)
    except MemoryFailed as error:
        return replace(talk.not_undone(error), understood=False)
