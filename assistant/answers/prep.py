"""What is said of prep for tonight: PREP."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import amount_figure, figure, size_figure
from assistant.answers.on_hand import counted_now
from assistant.answers.safety import STANDING
from assistant.answers.speech import counted, joined, number
from assistant.messages import Block, Card, Cell, Figure, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.model import Drink
from recipes.prep import Sheet, Stage, Task, even_mix, prep, sold_mix
from recipes.units import measured

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
    by_sales = sold_mix(menu, scene.sold)
    sheet = prep(scene.book, by_sales or even_mix(menu), covers * scene.book.house.drinks_per_cover, counted_now(scene))
    say = _spoken(covers, sheet, "by last sales" if by_sales else "shared equally")
    card = Card(
        "prep", f"Prep for {covers} covers", _how_shared(menu, by_sales), (*_tables(sheet), *_notes(sheet, scene))
    )
    return Answer(Reply(say, card, (STANDING,)), scene.focus)


def _spoken(covers: int, sheet: Sheet, shared: str) -> str:
    head = f"Prep for {counted(covers, 'cover')}, {counted(sheet.drinks.to_integral_value(), 'drink')} {shared}."
    made = sorted((t for t in sheet.tasks if t.stage is Stage.HOUSE_MADE), key=_volume, reverse=True)
    first = [task.ingredient.name for task in made[:NAMED_ALOUD]]
    fruit = [f"{number(t.packs)} for {t.ingredient.name}" for t in sheet.tasks if t.stage is Stage.JUICE and t.packs]
    parts = [f"Start with {joined(first)}"] if first else []
    parts += [f"fruit to press: {joined(fruit[:NAMED_ALOUD])}"] if fruit else []
    enough = f"Of {joined([task.ingredient.name for task in sheet.enough][:NAMED_ALOUD])} there is enough."
    said = [
        head,
        f"{'; '.join(parts)}. The sheet has all {counted(len(sheet.tasks), 'job')}." if parts else "Nothing to make.",
    ]
    return " ".join([*said, enough] if sheet.enough and parts else said)


def _how_shared(menu: Sequence[Drink], by_sales: Mapping[str, Decimal]) -> tuple[str, ...]:
    if by_sales:
        return (f"{len(by_sales)} of {len(menu)} drinks of the menu, as they last sold",)
    return (f"{len(menu)} drinks of the menu in equal shares: no sales are known",)


def _volume(task: Task) -> Decimal:
    """How big a job it is: mL to make, zero for what is not measured so."""
    number, unit = measured(task.make)
    return number if unit == "milliliter" else Decimal(0)


def _tables(sheet: Sheet) -> tuple[Table, ...]:
    staged = [(stage, [task for task in sheet.tasks if task.stage is stage]) for stage in Stage]
    tables = [
        Table(tuple(_row(task) for task in tasks), _heads(stage), TITLES[stage]) for stage, tasks in staged if tasks
    ]
    if sheet.enough:
        rows = tuple(Row(t.ingredient.name, (size_figure(t.need), _on_hand(t)), _by_par(t)) for t in sheet.enough)
        tables.append(Table(rows, ("Enough", "Need", "On hand"), "Not to be made"))
    return (*tables, *(_recipe(task) for task in sheet.tasks if task.parts))


def _heads(stage: Stage) -> tuple[str, ...]:
    opened = () if stage is Stage.HOUSE_MADE else ("Open",)
    return ("Prepare", "Need", "On hand", "Make", *opened, "Keeps")


def _notes(sheet: Sheet, scene: Scene) -> list[Block]:
    """What the amounts rest on, and what stands in the way."""
    now = counted_now(scene)
    old = [name for name in scene.on_hand if name not in now]
    made = {task.ingredient.name for task in sheet.tasks} | {p.ingredient for t in sheet.tasks for p in t.parts}
    out = sorted(scene.out & made)
    notes: list[Block] = [] if now else [Note("Nothing on hand was counted: these are whole amounts.")]
    notes += [Note("To take off what there is, say for example: we have two litres of lime juice.")] if not now else []
    notes += [Note(f"Counted more than a day ago, so not taken off: {joined(old)}.", "warn")] if old else []
    notes += [Note(f"Out, so get it first: {joined(out)}.", "warn")] if out else []
    if sheet.unclear:
        notes.append(Note(f"Count by hand, the book cannot add them up: {joined(sheet.unclear)}.", "warn"))
    return notes


def _row(task: Task) -> Row:
    keeps = task.shelf_life
    days = figure(
        None if keeps is None else keeps.m_as("day"), "days" if keeps is None or keeps.m_as("day") != 1 else "day"
    )
    opened = () if task.stage is Stage.HOUSE_MADE else (_opened(task),)
    cells: tuple[Cell, ...] = (size_figure(task.need), _on_hand(task), size_figure(task.make), *opened, days)
    return Row(task.ingredient.name, cells, ", ".join(filter(None, (task.ingredient.storage, _by_par(task)))))


def _by_par(task: Task) -> str:
    return "to the par" if task.is_by_par else ""


def _on_hand(task: Task) -> Cell:
    return "not counted" if task.on_hand is None else size_figure(task.on_hand)


def _opened(task: Task) -> Cell:
    """How many fruits or packs to open, and how many of them are in the house, where that was counted."""
    if task.packs is None:
        return ""
    there = "" if task.fruit is None else f", {task.fruit:f} there"
    return Figure(task.packs, "piece", f"{task.packs:f}{there}")


def _recipe(task: Task) -> Table:
    rows = tuple(Row(part.ingredient, (amount_figure(part.amount),)) for part in task.parts)
    return Table(rows, ("Ingredient", "Amount"), f"{task.ingredient.name}, {size_figure(task.make).text}")


HANDLERS: dict[Intent, Handler] = {Intent.PREP: tonight}
