"""What is said of how a drink should taste: TASTE."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import percent_figure
from assistant.answers.safety import caution_lines
from assistant.answers.speech import capital, joined
from assistant.messages import Bar, Bars, Block, Card, Note, Reply
from grammar.command import Command, Intent
from recipes.model import Drink
from recipes.tasting import Taste, taste

SHOWN = 6  # flavours on the card


def tasted(command: Command, scene: Scene) -> Answer:
    """'What does a Negroni taste like?': 'bitter and sweet, herbal and orange, juniper underneath'."""
    drink = scene.book.drinks[str(command.slots["drink"])]
    found = taste(drink, scene.book)
    words = taste_words(found)
    said = f"The {drink.name}: {words}." if words else f"The book has no flavour words for the {drink.name}."
    unknown = f"I do not know how {joined(found.unknown)} tastes." if found.unknown and not words else ""
    reply = Reply(f"{said} {unknown}".strip(), _card(drink, found), caution_lines(drink, scene.book))
    return Answer(reply, replace(scene.focus, drink=drink.name))


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


HANDLERS: dict[Intent, Handler] = {Intent.TASTE: tasted}
