"""What is said of a batch: BATCH. The number read back, what goes in, what waits for the order, and the label."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from decimal import ROUND_FLOOR, Decimal
from functools import partial

from assistant.answers.balances import as_talked, measured_aloud
from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import amount_figure, figure, mass_figure, volume_figure
from assistant.answers.meant import drink_meant
from assistant.answers.measured import DO, called
from assistant.answers.safety import STANDING, caution_lines
from assistant.answers.speech import amount, capital, counted, joined, mass, pour, sentence, volume
from assistant.messages import Block, Card, Cell, Choice, Focus, Question, Reply, Row, Steps, Table
from grammar.command import Command, Intent, SlotValue
from recipes.batches import Batch, Filling, Hold, Line, Serves, Size, Warn, batch, hold
from recipes.bottling import KEG, Container, Label
from recipes.errors import BatchError
from recipes.model import Book, Drink
from recipes.spec import METRIC, plain, to_step, volume_as
from recipes.units import POURED, US_JUGS, Amount, Quantity, Unit

Measured = Callable[[Quantity], str]  # how a volume is said

ALOUD = 5  # a voice reads no more lines than this; the card has them all
JUG_FROM, JUG_STEP, FINE_STEP = Decimal(4), Decimal("0.25"), Decimal("0.125")  # ounces: how finely lines are said
OFFERED = (10, 20, 40)  # serves, when no number was said

WHY = {
    Hold.JUICE: "fresh juice fades within hours",
    Hold.EGG: "raw egg does not stand",
    Hold.DAIRY: "dairy curdles and spoils",
    Hold.BUBBLES: "bubbles go flat",
    Hold.HOT: "what is served hot goes in hot",
    Hold.MUDDLED: "what is muddled turns bitter and brown",
}
WARNINGS = {
    Warn.LAW: "Check local law before you pre-mix, infuse or refill bottles: in the US see 27 CFR 31.233.",
    Warn.BITTERS: "Bitters grow louder in a batch: hold some back and add by taste.",
    Warn.SLUSH: "This may turn to slush in a freezer: keep it in the fridge.",
    Warn.CRYSTALS: "Sugar may fall out of this in the fridge: keep it at room temperature, or stir it warm again.",
    Warn.NO_DATE: "How long it keeps is unknown for {}: ask, and date it short.",
}


def batch_of(command: Command, scene: Scene, today: date | None = None) -> Answer:
    """'Batch twenty Manhattans', 'fill two bottles': what to pour together, and what to leave for the order."""
    meant, focus = drink_meant(command, scene), scene.focus
    drink = as_talked(meant, focus)
    size, asked = _size(command.slots, scene), _asked(command.slots)
    if size is None:
        return Answer(_how_many(drink, command), focus)
    try:
        made = batch(drink, size, scene.book)
    except BatchError as error:
        return Answer(_no_batch(drink, error, scene.book), focus)
    card = _card(drink, made, today or date.today())
    return Answer(Reply(_say(meant, made, size, asked, scene), card, _cautions(drink, made, scene.book)), focus)


def _size(slots: Mapping[str, SlotValue], scene: Scene) -> Size | None:
    """The size asked for: a keg, so much of a unit, or so many serves; else the count that was talked of."""
    if slots.get("text") == "keg":
        return Filling(KEG)
    if (asked := _asked(slots)) is not None:
        return Filling(scene.book.house.physical(asked))
    if "count" in slots:
        return Serves(Decimal(slots["count"]))
    return Serves(Decimal(scene.focus.count)) if scene.focus.count > 1 else None


def _asked(slots: Mapping[str, SlotValue]) -> Amount | None:
    """So much of a unit, as it was said."""
    number, unit = slots.get("amount", slots.get("count")), slots.get("unit")
    if number is None or unit not in set(POURED) | {Unit.BOTTLE}:
        return None
    return Amount(Decimal(number), Unit(str(unit)))


# Questions back and refusals


def _how_many(drink: Drink, command: Command) -> Reply:
    choices = tuple(Choice(str(count), replace(command, slots={**command.slots, "count": count})) for count in OFFERED)
    ask = f"How many serves of the {drink.name}, or how much: two litres, three bottles, a keg?"
    return Reply(ask, asks=Question(ask, choices))


def _no_batch(drink: Drink, error: BatchError, book: Book) -> Reply:
    if error.unknown:
        names = joined(error.unknown)
        return Reply(f"I cannot size a batch of the {drink.name}: I lack numbers for {names}. Read the label.")
    if all(hold(pour, book) for pour in drink.pours):
        return Reply(f"Nothing in the {drink.name} keeps, so there is nothing to batch. Make it to order.")
    return Reply(f"A batch of the {drink.name} must be more than nothing. How many serves?")


# For the ear


def _say(drink: Drink, made: Batch, size: Size, asked: Amount | None, scene: Scene) -> str:
    measured = partial(_ounces, scene.book) if asked is not None and asked.unit in {Unit.OUNCE, *US_JUGS} else volume
    parts = (
        _read_back(drink, made, size, asked, scene.focus),
        sentence(joined(_aloud(made, measured))),
        _pour_each(drink, made, scene),
        _to_order(made),
    )
    return " ".join(part for part in parts if part)


def _ounces(book: Book, size: Quantity) -> str:
    """For who asks for a gallon and has jugs marked in ounces; so little as bitters finer than a jug."""
    ounces = volume_as(size, Unit.OUNCE, book.house.measures).number
    step = JUG_STEP if ounces >= JUG_FROM else FINE_STEP
    return counted(to_step(ounces, step), "ounce") if ounces >= FINE_STEP else volume(size)


def _read_back(drink: Drink, made: Batch, size: Size, asked: Amount | None, focus: Focus) -> str:
    if isinstance(size, Serves):
        comes_to = "" if made.volume is None else f", {volume(made.volume)} in all"
        return f"{capital(called(drink, replace(focus, count=int(size.count))))}, batched{comes_to}."
    name = called(drink, replace(focus, count=1))
    told, comes_to = volume(size.volume), ""
    if asked is not None and asked.unit not in METRIC:
        told, comes_to = amount(asked), f", {told},"
    return f"{capital(told)} of {name}{comes_to} is {counted(_whole(made.serves), 'full serve')}."


def _whole(serves: Decimal) -> int:
    return int(serves.to_integral_value(ROUND_FLOOR))


def _aloud(made: Batch, measured: Measured) -> list[str]:
    lines = [_line_aloud(line, measured) for line in made.lines]
    if len(lines) <= ALOUD + 1:
        return lines
    return [*lines[:ALOUD], f"{counted(len(lines) - ALOUD, 'more line')} on the card"]


def _line_aloud(line: Line, measured: Measured) -> str:
    if line.volume is not None:
        return f"{measured(line.volume)} of {line.ingredient}"
    return f"{mass(line.mass)} of {line.ingredient}" if line.mass is not None else f"{line.ingredient}, amount unknown"


def _pour_each(drink: Drink, made: Batch, scene: Scene) -> str:
    if made.pour is None:
        return f"How much to pour for each serve is unknown: I lack numbers for {joined(_lacking(made))}."
    how = "cold and ready" if made.ready else f"and {DO[drink.method]} it as usual"
    return f"Pour {measured_aloud(made.pour, scene.focus, scene.book)} for each serve, {how}."


def _lacking(made: Batch) -> list[str]:
    return list(dict.fromkeys(gap.ingredient for gap in made.gaps))


def _to_order(made: Batch) -> str:
    if not made.held:
        return ""
    waits = joined([pour(held.pour.amount, held.pour.ingredient, of=True) for held in made.held])
    why = joined(list(dict.fromkeys(WHY[held.why] for held in made.held)))
    return f"For each serve add to order {waits}: {why}."


# For the eye


def _card(drink: Drink, made: Batch, today: date) -> Card:
    serves = f"{plain(made.serves, 1)} serves"
    blocks = [_lines(made), *_held(made), _order(made), _label(drink, made, today), *_vessels(made.containers)]
    return Card("batch", f"{drink.name}, batched", (serves, drink.method.value, drink.glass), tuple(blocks))


def _lines(made: Batch) -> Table:
    rows = [Row(line.ingredient, (_to_pour(line), mass_figure(line.mass), _packs(line))) for line in made.lines]
    rows.append(Row("In all", (volume_figure(made.volume), mass_figure(made.mass), ""), tone="strong"))
    rows.append(Row("For each serve", (volume_figure(made.pour), "", ""), tone="strong"))
    return Table(tuple(rows), ("Goes in", "By volume", "By weight", "Packs to open"), "The batch")


def _to_pour(line: Line) -> Cell:
    return "by weight" if line.volume is None and line.mass is not None else volume_figure(line.volume)


def _packs(line: Line) -> Cell:
    return figure(line.packs, "", 0) if line.packs is not None else ""


def _held(made: Batch) -> list[Block]:
    rows = tuple(Row(h.pour.ingredient, (amount_figure(h.pour.amount),), WHY[h.why]) for h in made.held)
    return [Table(rows, ("To order", "For each serve"), "Not ahead")] if rows else []


def _order(made: Batch) -> Steps:
    """The order of mixing (common practice)."""
    steps = ["Clean a vessel that holds it all, with room to stir."]
    steps += [f"Measure in the {line.ingredient}." for line in made.lines]
    steps += ["Stir until it is even, and taste.", "Label it, date it, and put it in the fridge."]
    return Steps(tuple(steps), title="Order of mixing")


def _label(drink: Drink, made: Batch, today: date) -> Table:
    marked = made.label
    rows = (
        Row("Drink", (drink.name,)),
        Row("Contents", (joined([*marked.contents, *(["water"] if made.ready else [])]),)),
        Row("Strength", (figure(made.abv.m_as("percent") if made.abv else None, "% vol"),), "reckoned, not measured"),
        Row("Allergens", (_allergens(marked),), tone="warn" if marked.allergens_unknown else "plain"),
        Row("Made", (_day(today),)),
        Row("Discard by", (_discard_by(marked, today),), _because(marked), "warn" if marked.undated else "plain"),
    )
    return Table(rows, title="Label")


def _allergens(marked: Label) -> str:
    known = joined(marked.allergens) if marked.allergens else "none listed by our data"
    return f"{known}; unknown, ask: {joined(marked.allergens_unknown)}" if marked.allergens_unknown else known


def _discard_by(marked: Label, today: date) -> str:
    """The last day: the day it was made is day one (FDA Food Code 3-501.17)."""
    if marked.keeps is None:
        return "unknown, ask" if marked.undated else "no date by our data"
    return _day(today + timedelta(days=int(marked.keeps.m_as("day")) - 1))


def _because(marked: Label) -> str:
    parts = [f"{joined(marked.first_to_go)} goes first"] if marked.first_to_go else []
    parts += [f"unknown for {joined(marked.undated)}"] if marked.undated else []
    return "; ".join(parts)


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"


def _vessels(containers: tuple[Container, ...]) -> list[Block]:
    rows = tuple(Row(c.kind, (figure(c.count, "", 0), volume_figure(c.size)), _how_full(c)) for c in containers)
    return [Table(rows, ("Keep it in", "How many", "Each holds"), "Containers")] if rows else []


def _how_full(container: Container) -> str:
    return "" if container.last == 1 else f"the last one {plain(container.last * 100, 0)} % full"


def _cautions(drink: Drink, made: Batch, book: Book) -> tuple[str, ...]:
    lines = (WARNINGS[warning].format(joined(made.label.undated)) for warning in made.warnings)
    return (*lines, *caution_lines(drink, book), STANDING)


HANDLERS: dict[Intent, Handler] = {Intent.BATCH: batch_of}
