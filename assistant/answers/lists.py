"""What is said of the drinks of a shelf, a family, a method or a glass, and of the whole book: LIST."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.speech import article, capital, counted, joined, some
from assistant.filling import turned
from assistant.messages import Card, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.families import classify, drinks_in
from recipes.model import Book, Drink, Glass
from recipes.stock import blocked

SAID = 5  # names that a voice reads
SHOWN = 120


def listed(command: Command, scene: Scene) -> Answer:
    """'List the house drinks', 'which drinks are stirred?', 'what goes in a coupe?', 'what's on the menu?'"""
    slots, book = command.slots, scene.book
    if "shelf" in slots:
        shelf = str(slots["shelf"])
        return _told(book.shelves.get(shelf, shelf), book.drinks_on(shelf), scene)
    if "drink" in slots:
        return _kin(book.drinks[str(slots["drink"])], scene)
    text = str(slots.get("text", ""))
    if slots.get("part") == "method":
        return _told(capital(text), (drink for drink in book.drinks.values() if drink.method == text), scene)
    if slots.get("part") == "glass":
        glass = _called(text, book)
        if glass is None:
            return Answer(Reply(f"The book has no {text}. Ask what glass a drink goes in."), scene.focus)
        within = (drink for drink in book.drinks.values() if drink.glass == glass.name)
        return _told(f"In {article(glass.name)}", within, scene)
    return _by_shelf(scene)


def _told(head: str, drinks: Iterable[Drink], scene: Scene) -> Answer:
    found = tuple(drinks)
    if not found:
        return Answer(Reply(f"{head}: the book has no such drink."), scene.focus)
    off = [drink.name for drink in found if drink.name in _off(scene)]
    say = f"{head}, {counted(len(found), 'drink')}: {some([drink.name for drink in found], SAID)}."
    say += f" Off tonight: {some(off)}." if off else ""
    alone = Command(Intent.SPEC, {"drink": found[0].name})
    focus = turned(scene.focus, alone) if len(found) == 1 else scene.focus
    return Answer(Reply(say, _card(head, found, scene)), focus)


def _kin(drink: Drink, scene: Scene) -> Answer:
    """'What else is like a Negroni?': the rest of its family."""
    family = drink.family or classify(drink, scene.book).family
    kin = [other for other in drinks_in(family, scene.book) if other is not drink] if family else []
    if not kin or family is None:
        return Answer(Reply(f"The book has no other drink of the {drink.name}'s kind."), scene.focus)
    return _told(f"Like the {drink.name}, of the {scene.book.families[family].title} family", kin, scene)


def _by_shelf(scene: Scene) -> Answer:
    """The whole book, each shelf with the first of its drinks."""
    book = scene.book
    shelves = {book.shelves.get(shelf, shelf): book.drinks_on(shelf) for shelf in book.shelves}
    told = [f"{title} with {counted(len(drinks), 'drink')}" for title, drinks in shelves.items() if drinks]
    first = [drink.name for drinks in shelves.values() for drink in drinks[:2]]
    say = f"On the menu: {joined(told)}. Among them {joined(first)}. Ask for a shelf, a family or a spirit."
    return Answer(Reply(say, _card("The menu", tuple(book.drinks.values()), scene)), scene.focus)


def _called(name: str, book: Book) -> Glass | None:
    wanted = name.casefold()
    return next((g for g in book.glasses.values() if wanted in {g.name.casefold(), *map(str.casefold, g.spoken)}), None)


def _off(scene: Scene) -> dict[str, tuple[str, ...]]:
    """The drinks that cannot be made tonight, and what they lack."""
    return {each.drink.name: each.missing for each in blocked(scene.book, scene.out) if not each.garnish_only}


def _card(title: str, drinks: tuple[Drink, ...], scene: Scene) -> Card:
    off = _off(scene)
    rows = tuple(
        Row(
            drink.name,
            (joined([pour.ingredient for pour in drink.pours]),),
            f"off tonight: no {joined(off[drink.name])}" if drink.name in off else "",
            "muted" if drink.name in off else "plain",
        )
        for drink in drinks[:SHOWN]
    )
    more = len(drinks) - len(rows)
    notes = (Note(f"And {counted(more, 'drink')} more.", "muted"),) if more else ()
    return Card("list", title, (counted(len(drinks), "drink"),), (Table(rows, ("Drink", "Made of")), *notes))


HANDLERS: dict[Intent, Handler] = {Intent.LIST: listed}
