"""What is said of what is in the house: COUNTED when it is told, ON_HAND when it is asked."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal

from assistant.answers.base import Answer, Change, Counted, Handler, Scene, SetOut
from assistant.answers.figures import figure, size_figure
from assistant.answers.speech import capital, counted, integer, joined, mass, number, pour, some, volume
from assistant.messages import Card, Cell, Reply, Row, Table
from grammar.command import Command, Intent
from recipes import stocktake
from recipes.model import Ingredient
from recipes.stock import blocked
from recipes.stocktake import OnHand
from recipes.units import Amount, Quantity, Unit

STANDS_FOR = timedelta(days=1)  # an older count is told, but not relied on (house choice)
JUST_NOW = timedelta(minutes=2)
NAMED_ALOUD = 4


def counted_now(scene: Scene) -> Mapping[str, OnHand]:
    """What there is by the counts that still stand."""
    return {name: count.on_hand for name, count in scene.on_hand.items() if stands(count, scene.now)}


def stands(count: Counted, now: datetime) -> bool:
    """Whether a count is young enough to be relied on."""
    return now - count.at <= STANDS_FOR


def told(command: Command, scene: Scene) -> Answer:
    """'We have two litres of lime juice', 'twelve lemons': noted, and taken off tonight's prep."""
    if command.slots.get("text") == "none":
        return _forgotten(scene)
    ingredient = scene.book.ingredients[str(command.slots["ingredient"])]
    focus, amount = scene.focus, amount_told(command)
    if amount.number <= 0:
        return Answer(Reply(f"How much {ingredient.name} is there? {_for_example(ingredient)}"), focus)
    try:
        found = stocktake.counted(amount, ingredient, scene.book)
    except ValueError:
        return Answer(
            Reply(f"That does not tell me how much {ingredient.name} there is. {_unclear(ingredient)}"), focus
        )
    count = Counted(ingredient.name, _beside(found, scene.on_hand.get(ingredient.name), scene.now), scene.now)
    back: tuple[Change, ...] = (SetOut(ingredient.name, out=False),) if ingredient.name in scene.out else ()
    say = f"Noted: {_said(amount, found, ingredient)}. Prep takes it off."
    say += f" {capital(ingredient.name)} is back in." if back else ""
    card = _card({**scene.on_hand, ingredient.name: count}, scene)
    return Answer(Reply(say, card), focus, count, back)


def asked(command: Command, scene: Scene) -> Answer:
    """'How much simple have we got', 'what's on hand', 'what are we out of'."""
    if command.slots.get("text") == "out":
        return _what_is_out(scene)
    if "ingredient" not in command.slots:
        return _everything(scene)
    ingredient = scene.book.ingredients[str(command.slots["ingredient"])]
    return Answer(Reply(_how_much(ingredient, scene), _card(scene.on_hand, scene)), scene.focus)


# Told


def _forgotten(scene: Scene) -> Answer:
    if not scene.on_hand:
        return Answer(Reply("Nothing is counted yet."), scene.focus)
    first, *more = (Counted(name, OnHand()) for name in scene.on_hand)
    say = "All counts are forgotten. Count again, or say undo to have them back."
    return Answer(Reply(say), scene.focus, first, tuple(more))


def amount_told(command: Command) -> Amount:
    """The amount in a command: with its unit, or so many pieces."""
    if "amount" in command.slots:
        return Amount(Decimal(command.slots["amount"]), Unit(str(command.slots["unit"])))
    return Amount(Decimal(command.slots.get("count", 0)), Unit.PIECE)


def _beside(found: OnHand, before: Counted | None, now: datetime) -> OnHand:
    """Juice and fruit are counted apart: the one leaves a standing count of the other as it is."""
    old = before.on_hand if before is not None and stands(before, now) else OnHand()
    return OnHand(found.ready if found.ready is not None else old.ready, found.fruit or old.fruit)


def _said(amount: Amount, found: OnHand, ingredient: Ingredient) -> str:
    if found.fruit is not None:
        return f"{number(found.fruit)} fruit for {ingredient.name}{_pressed(found.fruit, ingredient)}"
    size = f", {measure_said(found.ready)}" if amount.unit is Unit.BOTTLE and found.ready is not None else ""
    return f"{pour(amount, ingredient.name, of=True)}{size} on hand"


def _pressed(fruit: Decimal, ingredient: Ingredient) -> str:
    """', about five hundred mil pressed'."""
    pack = ingredient.pack
    if pack is None:
        return ""
    return f", about {volume(pack.usable.value / pack.size.m_as('piece') * fruit)} pressed"


def _unclear(ingredient: Ingredient) -> str:
    if stocktake.is_pressed(ingredient):
        return "Count the fruit, or say how much of it is pressed."
    return _for_example(ingredient)


def _for_example(ingredient: Ingredient) -> str:
    return f"Say, for example: we have one litre of {ingredient.name}."


# Asked


def _how_much(ingredient: Ingredient, scene: Scene) -> str:
    name = ingredient.name
    if name in scene.out:
        return f"We are out of {name}."
    count = scene.on_hand.get(name)
    if count is None:
        return f"Nobody has counted {name}, so that is unknown. {_for_example(ingredient)}"
    parts = [f"{measure_said(count.on_hand.ready)} of {name}"] if count.on_hand.ready is not None else []
    fruit = count.on_hand.fruit
    parts += [f"{number(fruit)} fruit for {name}{_pressed(fruit, ingredient)}"] if fruit is not None else []
    old = "" if stands(count, scene.now) else " That is old: count again."
    return f"{capital(joined(parts))}, counted {ago(count.at, scene.now)}.{old}"


def _everything(scene: Scene) -> Answer:
    if not scene.on_hand:
        say = (
            "Nothing is counted yet, so what is on hand is unknown. Say, for example: we have one litre of lime juice."
        )
        return Answer(Reply(say), scene.focus)
    say = f"Counted: {some(tuple(scene.on_hand), NAMED_ALOUD)}. The card has how much, and since when."
    return Answer(Reply(say, _card(scene.on_hand, scene)), scene.focus)


def _what_is_out(scene: Scene) -> Answer:
    if not scene.out:
        return Answer(Reply("Nothing is out."), scene.focus)
    stopped = blocked(scene.book, scene.out)
    drinks = [each.drink.name for each in stopped if not each.garnish_only]
    stops = f"That stops {counted(len(drinks), 'drink')}: {some(drinks, NAMED_ALOUD)}." if drinks else ""
    rows = tuple(Row(each.drink.name, (joined(each.missing),)) for each in stopped)
    blocks = (Table(rows, ("Stopped", "Lacks")),) if rows else ()
    card = Card("on_hand", f"Out: {joined(sorted(scene.out))}", blocks=blocks)
    return Answer(Reply(f"We are out of {joined(sorted(scene.out))}. {stops}".strip(), card), scene.focus)


def ago(then: datetime, now: datetime) -> str:
    """How long since, as a person says it: 'just now', 'twenty minutes ago', 'three hours ago', 'two days ago'."""
    passed = now - then
    if passed < JUST_NOW:
        return "just now"
    for unit, noun in ((timedelta(days=1), "day"), (timedelta(hours=1), "hour")):
        if passed >= unit:
            return f"{counted(passed // unit, noun)} ago"
    return f"{integer(passed // timedelta(minutes=1))} minutes ago"


def measure_said(ready: Quantity | None) -> str:
    """So much, aloud, in the measure that it is kept in."""
    if ready is None:
        return "an unknown amount"
    if ready.check("[volume]"):
        return volume(ready)
    return mass(ready) if ready.check("[mass]") else number(ready.m_as("piece"))


def _card(counts: Mapping[str, Counted], scene: Scene) -> Card:
    rows = tuple(_row(count, scene.now) for count in counts.values())
    return Card("on_hand", "On hand", blocks=(Table(rows, ("What", "Ready", "Fruit", "Counted")),) if rows else ())


def _row(count: Counted, now: datetime) -> Row:
    ready, fruit = count.on_hand.ready, count.on_hand.fruit
    cells: tuple[Cell, ...] = (
        "" if ready is None else size_figure(ready),
        "" if fruit is None else figure(fruit, "fruit", 0),
        ago(count.at, now),
    )
    if stands(count, now):
        return Row(count.ingredient, cells)
    return Row(count.ingredient, cells, "too old: prep does not take it off", "muted")


HANDLERS: dict[Intent, Handler] = {Intent.COUNTED: told, Intent.ON_HAND: asked}
