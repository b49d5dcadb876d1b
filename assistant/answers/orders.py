"""What is said of a whole order at once: ORDER, 'three daiquiris and two negronis'."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import amount_figure
from assistant.answers.measured import called, finish, garnish_now, lines_now, lines_table, out_tonight, roundings, said
from assistant.answers.safety import caution_lines
from assistant.answers.speech import capital
from assistant.messages import Block, Card, Focus, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.model import Drink
from recipes.scaling import ScaledLine
from recipes.units import Amount, Unit

PLACES = ("", "_2", "_3", "_4")
MOST_OF_ONE = 200  # more than that is a batch, not an order


def order(command: Command, scene: Scene) -> Answer:
    """Each drink in turn with its amounts for so many; on the card also what is poured in more than one of them."""
    asked = _asked(command, scene)
    too_many = next((drink.name for drink, count in asked if not 0 < count <= MOST_OF_ONE), None)
    if too_many is not None:
        return Answer(Reply(f"How many of the {too_many}? For a large number, ask for a batch."), scene.focus)
    lines = [(drink, focus, lines_now(drink, focus, scene.book)) for drink, focus in _in_focus(asked, scene.focus)]
    spoken = [_spoken(drink, focus, poured, scene) for drink, focus, poured in lines]
    blocks: list[Block] = [
        lines_table(poured, garnish_now(drink, focus), scene.out, capital(called(drink, focus)))
        for drink, focus, poured in lines
    ]
    cautions = [f"{drink.name}: {line}" for drink, _ in asked for line in caution_lines(drink, scene.book)]
    card = Card("order", "Order", (_ticket(asked),), (*blocks, *_shared([poured for *_, poured in lines])))
    focus = lines[0][1]
    other = asked[1][0].name if len(asked) > 1 else focus.other
    return Answer(Reply(" ".join(spoken), card, tuple(cautions)), replace(focus, other=other))


def _asked(command: Command, scene: Scene) -> list[tuple[Drink, int]]:
    """Each drink once, with how many of it: 'two Gimlets, a Daiquiri and another Gimlet' has three Gimlets."""
    found: dict[str, int] = defaultdict(int)
    for place in PLACES:
        if f"drink{place}" in command.slots:
            found[str(command.slots[f"drink{place}"])] += int(command.slots.get(f"count{place}", 1))
    return [(scene.book.drinks[name], count) for name, count in found.items()]


def _in_focus(asked: list[tuple[Drink, int]], focus: Focus) -> list[tuple[Drink, Focus]]:
    fresh = replace(focus, step=None, without=(), ingredient=None, unit="oz" if focus.unit == "part" else focus.unit)
    return [(drink, replace(fresh, drink=drink.name, count=count)) for drink, count in asked]


def _spoken(drink: Drink, focus: Focus, lines: tuple[ScaledLine, ...], scene: Scene) -> str:
    head = f"One {drink.name}" if focus.count == 1 else capital(called(drink, focus))
    told = [f"{head}: {said(lines)}.", finish(drink, focus), roundings(lines), out_tonight(drink, scene.out)]
    return " ".join(filter(None, told))


def _ticket(asked: list[tuple[Drink, int]]) -> str:
    return ", ".join(f"{count} {drink.name}" for drink, count in asked)


def _shared(orders: list[tuple[ScaledLine, ...]]) -> tuple[Table, ...]:
    """What more than one of the drinks pours by the same measure, so that a bottle is picked up once."""
    totals: dict[tuple[str, Unit], list[Decimal]] = defaultdict(list)
    for lines in orders:
        for line in lines:
            totals[line.pour.ingredient, line.rounded.unit].append(line.rounded.number)
    rows = tuple(
        Row(name, (amount_figure(Amount(sum(numbers, Decimal(0)), unit)),))
        for (name, unit), numbers in totals.items()
        if len(numbers) > 1
    )
    return (Table(rows, title="In more than one, in all"),) if rows else ()


HANDLERS: dict[Intent, Handler] = {Intent.ORDER: order}
