"""What is said of what the bar pays for its packs: WHAT_IF_PRICE and SET_PRICE."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene, SetPrice
from assistant.answers.figures import figure, mass_figure, money_figure, percent_figure, volume_figure
from assistant.answers.speech import capital, counted, joined, mass, money, number, percent, sentence, some, volume
from assistant.messages import Card, Figure, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.costing import Costing, pack_price
from recipes.menu_costs import Shift, WhatIf, what_if
from recipes.model import Book, House, Pack
from recipes.units import COUNTED, Amount, Quantity, Unit, quantity

MOST_ROWS = 60  # a card is read on a wall, not scrolled through


@dataclass(frozen=True)
class Unpriced:
    """Why no new price could be made out of a command, as it is said."""

    say: str


def set_price(command: Command, scene: Scene) -> Answer:
    """'Gin is now thirty dollars': noted and read back with what it was."""
    name = str(command.slots["ingredient"])
    focus = replace(scene.focus, ingredient=name)
    new = _new_price(name, command, scene.book)
    if isinstance(new, Unpriced):
        return Answer(Reply(new.say), focus)
    pack, house = _pack(name, scene.book), scene.book.house
    was = money(pack.price, house.currency)
    if new == pack.price:
        return Answer(Reply(sentence(f"{name} was already {pack_said(pack, house)}")), focus)
    say = f"{capital(name)} is now {pack_said(replace(pack, price=new), house)}. It was {was}."
    rows = (Row("Now", (money_figure(new, house),), tone="strong"), Row("Before", (money_figure(pack.price, house),)))
    card = Card("set_price", name, (pack_size(pack).text,), (Table(rows),))
    return Answer(Reply(say, card), focus, SetPrice(name, new))


def what_if_price(command: Command, scene: Scene) -> Answer:
    """'What if gin goes up ten percent?': the drinks it moves, and which go over the house's target."""
    name = str(command.slots.get("ingredient") or scene.focus.ingredient or "")
    if not name:
        return Answer(Reply("What if which ingredient changes? Say, for example: what if gin is thirty."), scene.focus)
    focus = replace(scene.focus, ingredient=name)
    new = _new_price(name, command, scene.book)
    if isinstance(new, Unpriced):
        return Answer(Reply(new.say), focus)
    found = what_if(scene.book, name, new)
    return Answer(
        Reply(_moved(found, str(command.slots.get("drink", "")), scene), _what_if_card(found, scene.book)), focus
    )


def pack_said(pack: Pack, house: House) -> str:
    """A pack's price aloud: 'twenty-four dollars a bottle', 'forty-five cents each', 'forty cents for eight'."""
    price = money(pack.price, house.currency)
    if pack.size == house.bottle:
        return f"{price} a bottle"
    if pack.size.check("[volume]"):
        return f"{price} for {volume(pack.size)}"
    if pack.size.check("[mass]"):
        return f"{price} for {mass(pack.size)}"
    usable = pack.usable.value if pack.usable.value.check("[count]") else pack.size
    pieces = usable.m_as("piece")
    return f"{price} each" if pieces == 1 else f"{price} for {number(pieces)}"


def pack_size(pack: Pack) -> Figure:
    """The size of a pack for the card."""
    if pack.size.check("[volume]"):
        return volume_figure(pack.size)
    return mass_figure(pack.size) if pack.size.check("[mass]") else figure(pack.size.m_as("piece"), "piece")


def no_pack(name: str, book: Book) -> str:
    """Why an ingredient has no price of its own, and where its price comes from."""
    made = book.ingredients[name].made
    if made is not None:
        parts = joined(list(dict.fromkeys(pour.ingredient for pour in made.pours)))
        return sentence(f"{name} is made in the house from {parts}; its price comes from those")
    return f"The book has no pack for {name}, so its price is unknown. Write its pack into the book first."


def _pack(name: str, book: Book) -> Pack:
    pack = book.ingredients[name].pack
    if pack is None:
        raise KeyError(name)
    return pack


def _new_price(name: str, command: Command, book: Book) -> Quantity | Unpriced:
    """The pack price that a command speaks of: as money, money a unit, or a percentage up or down."""
    slots = command.slots
    if book.ingredients[name].pack is None:
        return Unpriced(no_pack(name, book))
    old = _pack(name, book).price
    if "percent" in slots:
        down = slots.get("text") == "down"
        points = Decimal(slots["percent"])
        price = quantity(old.magnitude * (100 - points if down else 100 + points) / 100, "money")
    elif "money" in slots:
        return _by_unit(name, quantity(Decimal(slots["money"]), "money"), str(slots.get("unit", "")), book)
    else:
        return Unpriced(f"At what price? Say, for example: {name} is now {money(old, book.house.currency)}.")
    return price if price.magnitude > 0 else Unpriced("A price must be more than nothing.")


def _by_unit(name: str, said: Quantity, word: str, book: Book) -> Quantity | Unpriced:
    pack = _pack(name, book)
    if said.magnitude <= 0:
        return Unpriced("A price must be more than nothing.")
    if not word or word == Unit.BOTTLE or (word in COUNTED and not pack.size.check("[count]")):
        return said
    try:
        return pack_price(name, said / book.house.measures.physical(Amount(Decimal(1), Unit(word))), book)
    except ValueError:
        size = pack_said(pack, book.house)
        return Unpriced(sentence(f"{name} is not bought that way. The book has it at {size}"))


def _moved(found: WhatIf, asked: str, scene: Scene) -> str:
    house = scene.book.house
    pack = _pack(found.ingredient, scene.book)
    head = f"With {found.ingredient} at {pack_said(replace(pack, price=found.new), house)}"
    if not found.shifts:
        return f"{head}, no drink changes."
    told = next((s for s in found.shifts if s.after.drink.name == scene.focus.drink), found.shifts[0])
    verb = "changes" if len(found.shifts) == 1 else "change"
    changes = f"{head}, {counted(len(found.shifts), 'drink')} {verb}."
    return " ".join([changes, *_unmoved(found, asked), _one_moved(told, house), *_over_target(found, house)])


def _unmoved(found: WhatIf, drink: str) -> list[str]:
    """What is said when the drink asked about is not among those that move."""
    moved = {shift.after.drink.name for shift in found.shifts}
    return [f"The {drink} does not: it has no {found.ingredient}."] if drink and drink not in moved else []


def _one_moved(shift: Shift, house: House) -> str:
    way = "up" if shift.change.magnitude > 0 else "down"
    by = money(quantity(abs(shift.change.magnitude), "money"), house.currency)
    name = shift.after.drink.name
    if shift.after.total is None:
        return f"The {name} goes {way} {by}; the rest of its cost is unknown."
    to = money(shift.after.total, house.currency)
    share = shift.after.pour_cost
    return f"The {name} goes {way} {by} to {to}{f', {percent(share * 100)} of its price' if share is not None else ''}."


def _over_target(found: WhatIf, house: House) -> list[str]:
    """What is said of the drinks that a dearer pack takes over the house's target."""
    target = house.target_pour_cost
    if found.new <= found.old:
        return []
    crossed = [s.after.drink.name for s in found.shifts if _over(s.after, target) and not _over(s.before, target)]
    if not crossed:
        return []
    return [f"That takes {some(crossed)} over {percent(target * 100)}."]


def _over(costing: Costing, target: Decimal) -> bool:
    return costing.pour_cost is not None and costing.pour_cost > target


def _what_if_card(found: WhatIf, book: Book) -> Card:
    house = book.house
    rows = tuple(
        Row(
            shift.after.drink.name,
            (money_figure(shift.change, house), money_figure(shift.after.total, house), _share(shift.after)),
            f"was {_share(shift.before).text}",
            "warn" if _over(shift.after, house.target_pour_cost) else "plain",
        )
        for shift in found.shifts[:MOST_ROWS]
    )
    more = len(found.shifts) - len(rows)
    table = Table(rows, ("", "change", "cost", "pour cost"))
    blocks = (table, Note(f"And {counted(more, 'drink')} more.", "muted")) if more else (table,)
    new = money_figure(found.new, house).text
    facts = (f"{new} for {pack_size(_pack(found.ingredient, book)).text}", f"was {money_figure(found.old, house).text}")
    return Card("what_if_price", found.ingredient, facts, blocks)


def _share(costing: Costing) -> Figure:
    return percent_figure(None if costing.pour_cost is None else costing.pour_cost * 100)


HANDLERS: dict[Intent, Handler] = {Intent.SET_PRICE: set_price, Intent.WHAT_IF_PRICE: what_if_price}
