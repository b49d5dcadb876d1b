"""What is said of prep for tonight: PREP."""

from __future__ import annotations

from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import amount_figure, figure, mass_figure, volume_figure
from assistant.answers.safety import STANDING
from assistant.answers.speech import counted, joined, number
from assistant.messages import Card, Figure, Note, Reply, Row, Steps, Table
from grammar.command import Command, Intent
from recipes.model import Drink
from recipes.prep import Sheet, Stage, Task, even_mix, prep
from recipes.units import Quantity

TITLES = {
    Stage.HOUSE_MADE: "Make first: syrups and cordials",
    Stage.GARNISH: "Then cut: garnishes",
    Stage.JUICE: "Last: press the juices",
}
NAMED_ALOUD = 3


def tonight(command: Command, scene: Scene) -> Answer:
    """'Prep for eighty covers': what to make, how much, in which order."""
    covers = int(command.slots.get("count", scene.book.house.covers))
    menu = [drink for drink in scene.book.drinks.values() if drink.price is not None]
    if covers < 1 or not menu:
        return Answer(Reply("For how many covers? Say, for example: prep for eighty covers."), scene.focus)
    house = scene.book.house
    sheet = prep(scene.book, even_mix(menu), covers * house.drinks_per_cover, scene.on_hand)
    return Answer(Reply(_spoken(covers, sheet), _card(covers, sheet, menu, scene), (STANDING,)), scene.focus)


def _spoken(covers: int, sheet: Sheet) -> str:
    head = f"Prep for {counted(covers, 'cover')}, {counted(sheet.drinks.to_integral_value(), 'drink')}."
    made = sorted((t for t in sheet.tasks if t.stage is Stage.HOUSE_MADE), key=_volume, reverse=True)
    first = [task.ingredient.name for task in made[:NAMED_ALOUD]]
    fruit = [f"{number(t.packs)} for {t.ingredient.name}" for t in sheet.tasks if t.stage is Stage.JUICE and t.packs]
    parts = [f"Start with {joined(first)}"] if first else []
    parts += [f"fruit to press: {joined(fruit[:NAMED_ALOUD])}"] if fruit else []
    return (
        f"{head} {'; '.join(parts)}. The sheet has all {number(len(sheet.tasks))}."
        if parts
        else f"{head} Nothing to make."
    )


def _volume(task: Task) -> Decimal:
    """How big a job it is: mL to make, zero for what is not measured so."""
    return Decimal(task.make.m_as("ml")) if task.make.is_compatible_with("ml") else Decimal(0)


def _card(covers: int, sheet: Sheet, menu: list[Drink], scene: Scene) -> Card:
    blocks: list[Table | Steps | Note] = [
        Table(tuple(_row(task) for task in tasks), ("Prepare", "Make", "Open", "Keeps"), TITLES[stage])
        for stage in Stage
        if (tasks := [task for task in sheet.tasks if task.stage is stage])
    ]
    blocks += [_recipe(task) for task in sheet.tasks if task.parts]
    if not scene.on_hand:
        blocks.append(Note("Nothing on hand was counted: these are whole amounts. Take off what you have."))
    if sheet.unclear:
        blocks.append(Note(f"Count by hand, the book cannot add them up: {joined(sheet.unclear)}.", "warn"))
    mix = f"{len(menu)} drinks of the menu in equal shares, not by what was sold"
    return Card("prep", f"Prep for {covers} covers", (mix,), tuple(blocks))


def _row(task: Task) -> Row:
    keeps = task.shelf_life
    days = figure(
        None if keeps is None else keeps.m_as("day"), "days" if keeps is None or keeps.m_as("day") != 1 else "day"
    )
    opened = "" if task.packs is None else Figure(task.packs, "piece", f"{task.packs:f}")
    return Row(task.ingredient.name, (_measured(task.make), opened, days), task.ingredient.storage)


def _recipe(task: Task) -> Table:
    rows = tuple(Row(part.ingredient, (amount_figure(part.amount),)) for part in task.parts)
    return Table(rows, ("Ingredient", "Amount"), f"{task.ingredient.name}, {_measured(task.make).text}")


def _measured(amount: Quantity) -> Figure:
    if amount.check("[volume]"):
        return volume_figure(amount)
    if amount.check("[mass]"):
        return mass_figure(amount)
    return figure(Decimal(amount.m_as("piece")).to_integral_value(), "pieces", 0)


HANDLERS: dict[Intent, Handler] = {Intent.PREP: tonight}
