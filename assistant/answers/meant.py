"""What a name or a word means in the drink that is talked of."""

from __future__ import annotations

from assistant.answers.base import Scene
from assistant.answers.speech import joined
from grammar.command import Command
from recipes.model import Book, Drink, Ingredient, Pour, Role


def drink_meant(command: Command, scene: Scene) -> Drink:
    """The drink of a command whose gaps are filled."""
    return scene.book.drinks[str(command.slots["drink"])]


def pours_meant(drink: Drink, name: str, word: str, book: Book) -> tuple[Pour, ...]:
    """The pours that an ingredient's name, or else a word for a role or a kind ('base', 'vermouth'), means here.

    A name that is not in the drink means its kin: 'aged rum' the rum that is in it, 'lime juice' the lime cordial.
    """
    if name not in book.ingredients:
        return tuple(pour for pour in drink.pours if word and _goes_by(word, pour, book.ingredients[pour.ingredient]))
    asked = book.ingredients[name]
    named = tuple(pour for pour in drink.pours if pour.ingredient == name)
    kin = tuple(pour for pour in drink.pours if _kin(asked, book.ingredients[pour.ingredient]))
    return named or kin or tuple(pour for pour in drink.pours if _word_within(asked, pour.ingredient))


def not_in(what: str, drink: Drink) -> str:
    """What is said when a drink does not have it."""
    has = joined(list(dict.fromkeys(pour.ingredient for pour in drink.pours)))
    return f"There is no {what} in the {drink.name}. It has {has}."


def _goes_by(word: str, pour: Pour, ingredient: Ingredient) -> bool:
    """Whether people call it by this word: its role in the drink, or its kind ('wine' for sparkling wine)."""
    return pour.role == word or f" {ingredient.kind}".endswith(f" {word}")


def _kin(asked: Ingredient, poured: Ingredient) -> bool:
    """Whether one may have been meant by the other: two rums, an egg and its white, but never lime and lemon."""
    if Role.EGG in (asked.role, poured.role):
        return asked.role is poured.role
    return asked.kind != "" and asked.kind == poured.kind and asked.role not in (Role.ACID, Role.JUICE)


def _word_within(asked: Ingredient, poured: str) -> bool:
    """Whether people call the one by a word of the other: 'lime', for lime juice, is in lime cordial."""
    return any(f" {word} " in f" {poured} " for word in asked.spoken)
