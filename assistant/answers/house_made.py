"""What is said of a thing that the house makes for itself: its recipe, and how it is made."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Scene
from assistant.answers.figures import amount_figure, figure, volume_figure
from assistant.answers.safety import STANDING
from assistant.answers.speech import counted, integer, joined, pour, sentence, volume
from assistant.messages import Block, Card, Note, Reply, Row, Steps, Table
from recipes.bottling import PLAIN_WATER
from recipes.model import Book, HouseRecipe, Ingredient
from recipes.portions import is_dry_sugar
from recipes.safety import contents
from recipes.spec import to_step
from recipes.sucrose import Syrup, syrup, syrup_by_volume
from recipes.units import WEIGHED, Amount, Quantity, Unit, quantity

YEAR = 365  # days
FIVE, ONE, QUARTER, TENTH = Decimal(5), Decimal(1), Decimal("0.25"), Decimal("0.1")
KILO, LITRE = quantity(1, "kilogram"), quantity(1, "liter")


def recipe(name: str, scene: Scene, asked: Amount | None = None) -> Answer:
    """'What's in our lime cordial?', 'make two litres of orgeat': its parts and what they make."""
    ingredient = scene.book.ingredients[name]
    made = ingredient.made
    if made is None:
        return _bought(name, scene)
    if asked is not None:
        size = _size(asked, scene.book)
        if not size.is_compatible_with(made.makes.units):
            say = f"The book tells how much {name} its recipe makes by volume alone. Ask for ounces or litres of it."
            return Answer(Reply(say), replace(scene.focus, ingredient=name))
        made = as_much(made, size)
    parts = ", ".join(pour(each.amount, each.ingredient) for each in made.pours)
    say = f"{name}: {parts}. Makes {volume(made.makes)}.{_keeps(ingredient)}"
    return _answer(say, ingredient, made, scene)


def as_much(made: HouseRecipe, size: Quantity) -> HouseRecipe:
    """The recipe made larger or smaller, each line as finely as a jug, a scale or a hand can measure it."""
    factor: Decimal = (size / made.makes).to("dimensionless").magnitude
    pours = tuple(replace(each, amount=_measurable(each.amount.times(factor))) for each in made.pours)
    return replace(made, pours=pours, makes=size)


def _size(asked: Amount, book: Book) -> Quantity:
    return book.house.bottle * asked.number if asked.unit is Unit.BOTTLE else book.house.measures.physical(asked)


def _measurable(amount: Amount) -> Amount:
    """As a jug and a scale are read, to a five from a hundred grams or mL up, to one from ten; the rest by quarters."""
    if amount.unit in (Unit.KILOGRAM, Unit.LITRE):
        thousand = Unit.GRAM if amount.unit is Unit.KILOGRAM else Unit.MILLILITRE
        return _measurable(Amount(amount.number * 1000, thousand))
    if amount.unit in (Unit.GRAM, Unit.MILLILITRE):
        step = FIVE if amount.number >= 100 else ONE if amount.number >= 10 else TENTH
    else:
        step = QUARTER
    return Amount(max(to_step(amount.number, step), step), amount.unit)


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
    blocks: list[Block] = [Table(tuple(rows))]
    blocks += [Steps(made.steps)] if made.steps else []
    blocks += _by_weight_and_by_cup(made, scene.book)
    reply = Reply(
        sentence(say), Card("spec", ingredient.name, blocks=tuple(blocks)), cautions_of(ingredient, scene.book)
    )
    return Answer(reply, replace(scene.focus, ingredient=ingredient.name))


def _by_weight_and_by_cup(made: HouseRecipe, book: Book) -> tuple[Note, ...]:
    """How strong a plain syrup is as it is weighed, and what the same measures by the cup would make of it."""
    weights = _sugar_and_water(made, book)
    if weights is None:
        return ()
    cups = (weight / KILO * LITRE for weight in weights)
    return (
        Note(f"By weight it is {_strength(syrup(*weights))}."),
        Note(f"With as many cups of each it would be about {_strength(syrup_by_volume(*cups))}; packing varies."),
    )


def _sugar_and_water(made: HouseRecipe, book: Book) -> tuple[Quantity, Quantity] | None:
    """The weights of a syrup's sugar and water; None for one that is made of anything else, or not weighed."""
    weighed = [part for part in made.pours if part.amount.unit in WEIGHED]
    sugars = [part for part in weighed if is_dry_sugar(book.ingredients[part.ingredient])]
    waters = [part for part in weighed if book.ingredients[part.ingredient].kind == PLAIN_WATER]
    if len(made.pours) != 2 or not sugars or not waters:
        return None
    return book.house.measures.physical(sugars[0].amount), book.house.measures.physical(waters[0].amount)


def _strength(made: Syrup) -> str:
    sugar = figure(made.sugar.m_as("gram/liter"), "g", 0)
    return f"{figure(made.brix, '°Bx', 0).text}, {sugar.text} of sugar to the litre"


def _bought(name: str, scene: Scene) -> Answer:
    say = sentence(f"{name} is not made in the house, so there is no recipe for it")
    return Answer(Reply(say), replace(scene.focus, ingredient=name))


def _keeps(ingredient: Ingredient) -> str:
    life = shelf_life(ingredient)
    return f" Keeps {life}." if life else ""


def shelf_life(ingredient: Ingredient) -> str:
    """How long it keeps once it is open or made, in words: 'thirty days', 'two years'; nothing where it is unknown."""
    if ingredient.shelf_life is None:
        return ""
    years, rest = divmod(Decimal(ingredient.shelf_life.m_as("day")), YEAR)
    return counted(rest, "day") if rest else counted(years, "year")


def cautions_of(ingredient: Ingredient, book: Book) -> tuple[str, ...]:
    """The cautions that go with one thing on the shelf: its allergens, its own, and the one that always stands."""
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
