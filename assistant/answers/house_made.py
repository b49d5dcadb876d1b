"""What is said of a thing that the house makes for itself: its recipe, and how it is made."""

from __future__ import annotations

from dataclasses import replace

from assistant.answers.base import Answer, Scene
from assistant.answers.figures import amount_figure, figure, volume_figure
from assistant.answers.safety import STANDING
from assistant.answers.speech import counted, integer, joined, number, pour, sentence, volume
from assistant.messages import Card, Reply, Row, Steps, Table
from recipes.model import Book, HouseRecipe, Ingredient
from recipes.safety import contents


def recipe(name: str, scene: Scene) -> Answer:
    """'What's in our lime cordial?': its parts and what they make."""
    ingredient = scene.book.ingredients[name]
    made = ingredient.made
    if made is None:
        return _bought(name, scene)
    parts = ", ".join(pour(each.amount, each.ingredient) for each in made.pours)
    say = f"{name}: {parts}. Makes {volume(made.makes)}.{_keeps(ingredient)}"
    return _answer(say, ingredient, made, scene)


def making(name: str, scene: Scene) -> Answer:
    """'How do we make the lime cordial?': every step."""
    ingredient = scene.book.ingredients[name]
    made = ingredient.made
    if made is None:
        return _bought(name, scene)
    if not made.steps:
        return recipe(name, scene)
    steps = " ".join(f"Step {integer(place)}: {step}" for place, step in enumerate(made.steps, 1))
    return _answer(f"{name}, {counted(len(made.steps), 'step')}. {steps}", ingredient, made, scene)


def _answer(say: str, ingredient: Ingredient, made: HouseRecipe, scene: Scene) -> Answer:
    rows = [Row(each.ingredient, (amount_figure(each.amount),), each.note) for each in made.pours]
    rows.append(Row("Makes", (volume_figure(made.makes),), tone="strong"))
    if ingredient.shelf_life is not None:
        days = figure(ingredient.shelf_life.m_as("day"), "days", 0)
        rows.append(Row("Keeps", (days,), ingredient.storage, "muted"))
    blocks = (Table(tuple(rows)), Steps(made.steps)) if made.steps else (Table(tuple(rows)),)
    reply = Reply(sentence(say), Card("spec", ingredient.name, blocks=blocks), _cautions(ingredient, scene.book))
    return Answer(reply, replace(scene.focus, ingredient=ingredient.name))


def _bought(name: str, scene: Scene) -> Answer:
    say = sentence(f"{name} is not made in the house, so there is no recipe for it")
    return Answer(Reply(say), replace(scene.focus, ingredient=name))


def _keeps(ingredient: Ingredient) -> str:
    if ingredient.shelf_life is None:
        return ""
    days = ingredient.shelf_life.m_as("day")
    return f" Keeps {'one day' if days == 1 else f'{number(days)} days'}."


def _cautions(ingredient: Ingredient, book: Book) -> tuple[str, ...]:
    inside = contents([ingredient.name], book)
    return tuple(
        filter(
            None,
            (
                f"Allergens by our data: {joined(tuple(inside.by_allergen))}. Read the labels."
                if inside.by_allergen
                else "",
                f"Allergens unknown, ask: {joined(inside.unknown)}." if inside.unknown else "",
                sentence(ingredient.caution) if ingredient.caution else "",
                STANDING,
            ),
        )
    )
