"""What is said of how a drink, or a thing on the shelf, should taste, and how long the thing keeps: TASTE."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import percent_figure
from assistant.answers.house_made import cautions_of, shelf_life
from assistant.answers.safety import caution_lines
from assistant.answers.speech import article, capital, joined, sentence, some
from assistant.messages import Bar, Bars, Block, Card, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.model import Drink, Ingredient, Role
from recipes.safety import names_in
from recipes.tasting import Taste, taste

KEEPS = "keeps"  # the slot 'text' of a question how long a thing keeps
WHAT = "what"  # the same, of a question what a thing is
ROLES = {
    Role.BASE: "a spirit",
    Role.FORTIFIED: "a fortified wine",
    Role.ACID: "the sour part of a drink",
    Role.JUICE: "a juice",
    Role.BITTERS: "bitters",
    Role.EGG: "egg",
    Role.DAIRY: "dairy",
    Role.HERB: "a herb, a spice or a fruit",
    Role.SALT: "a seasoning",
}  # the others by their own word: a liqueur, a sweetener
USUAL = "How long things keep is common practice: your local food code decides."
SHOWN = 6  # flavours on the card


def tasted(command: Command, scene: Scene) -> Answer:
    """'What does a Negroni taste like?': 'bitter and sweet, herbal and orange, juniper underneath'."""
    if "drink" not in command.slots:
        thing = scene.book.ingredients[str(command.slots["ingredient"])]
        return _ABOUT.get(str(command.slots.get("text", "")), _of_a_thing)(thing, scene)
    drink = scene.book.drinks[str(command.slots["drink"])]
    found = taste(drink, scene.book)
    words = taste_words(found)
    said = f"The {drink.name}: {words}." if words else f"The book has no flavour words for the {drink.name}."
    unknown = f"I do not know how {joined(found.unknown)} tastes." if found.unknown and not words else ""
    reply = Reply(f"{said} {unknown}".strip(), _card(drink, found), caution_lines(drink, scene.book))
    return Answer(reply, replace(scene.focus, drink=drink.name))


def _of_a_thing(thing: Ingredient, scene: Scene) -> Answer:
    """'What does falernum taste like?'"""
    say = (
        f"{thing.name}: {joined(thing.flavour)}" if thing.flavour else f"The book has no flavour words for {thing.name}"
    )
    return _told_of(thing, sentence(say), scene)


def _what_it_is(thing: Ingredient, scene: Scene) -> Answer:
    """'What is falernum?': its role, whether the house makes it, its taste, and where it goes."""
    made = " made in the house" if thing.made else ""
    tastes = f" that tastes of {joined(thing.flavour)}" if thing.flavour else ""
    drinks = [drink.name for drink in scene.book.drinks.values() if thing.name in names_in(drink)]
    used = f" It goes in {some(drinks)}." if drinks else ""
    say = f"{capital(thing.name)} is {ROLES.get(thing.role) or article(thing.role)}{made}{tastes}.{used}"
    return _told_of(thing, say, scene)


def _kept(thing: Ingredient, scene: Scene) -> Answer:
    """'How long does the orgeat keep?'"""
    life = shelf_life(thing)
    known = f"{thing.name} keeps {life} once it is open or made"
    return _told_of(
        thing, sentence(known if life else f"how long {thing.name} keeps is unknown, so read its label"), scene
    )


def _told_of(thing: Ingredient, say: str, scene: Scene) -> Answer:
    life = shelf_life(thing)
    rows = (Row("Tastes of", (), joined(thing.flavour) or "unknown"), Row("Keeps", (), life or "unknown"))
    stored = (Row("Kept", (), thing.storage),) if thing.storage else ()
    card = Card("taste", thing.name, blocks=(Table((*rows, *stored)),))
    return Answer(
        Reply(say, card, (*cautions_of(thing, scene.book), USUAL)), replace(scene.focus, ingredient=thing.name)
    )


def taste_words(found: Taste) -> str:
    """The taste as it is said: 'bright and bitter, orange and herbal, caramel underneath'."""
    parts = [joined(found.feels), joined(found.flavours), f"{found.beneath} underneath" if found.beneath else ""]
    return ", ".join(part for part in parts if part)


def _card(drink: Drink, found: Taste) -> Card:
    shares = found.shares[:SHOWN]
    bars = tuple(Bar(capital(word), percent_figure(share * 100, 0)) for word, share in shares)
    top = max((share * 100 for _, share in shares), default=Decimal(1))
    blocks: list[Block] = [Note(drink.taste, "strong")] if drink.taste else []
    blocks += [Bars(bars, (top,) * len(bars), "Flavours, by their share of the drink")] if bars else []
    facts = tuple(found.feels)
    return Card("taste", drink.name, tuple(feel.value for feel in facts), tuple(blocks))


_ABOUT: Mapping[str, Callable[[Ingredient, Scene], Answer]] = {KEEPS: _kept, WHAT: _what_it_is}

HANDLERS: dict[Intent, Handler] = {Intent.TASTE: tasted}
