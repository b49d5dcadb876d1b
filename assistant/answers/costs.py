"""What is said of money: COST of a drink or of an ingredient, and PRICE_FOR_TARGET; COST of the menu is in `menu`."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import amount_figure, money_figure, percent_figure
from assistant.answers.meant import drink_meant
from assistant.answers.measured import called, drink_now
from assistant.answers.menu import menu_answer
from assistant.answers.pack_prices import no_pack, pack_said, pack_size
from assistant.answers.speech import amount, capital, integer, joined, money, percent, pour, sentence
from assistant.messages import Bar, Bars, Card, Focus, Reply, Row, Table, Tone
from grammar.command import Command, Intent
from recipes.costing import Costing, TargetPrice, as_money, cost, cost_of, price_for
from recipes.model import Book, House, Ingredient
from recipes.spec import written
from recipes.units import Amount, Quantity, Unit

HEADS = ("", "amount", "cost", "share")


def cost_answer(command: Command, scene: Scene) -> Answer:
    """'What does a gimlet cost?', 'what does a litre of gin cost?', 'which drinks are over twenty-two percent?'"""
    slots = command.slots
    if "text" in slots or "percent" in slots:
        return menu_answer(command, scene)
    if "ingredient" in slots:
        ingredient = scene.book.ingredients[str(slots["ingredient"])]
        if slots.get("unit", Unit.PART) != Unit.PART:  # a part has no size
            asked = Amount(Decimal(slots.get("amount", 1)), Unit(str(slots["unit"])))
            return _so_much(ingredient, asked, scene)
        return _ingredient(ingredient, str(slots.get("drink") or scene.focus.drink), scene)
    return _drink(command, scene)


def price_for_target(command: Command, scene: Scene) -> Answer:
    """'What should a gimlet cost at twenty percent?': the menu price, up to the step, beside the one it has."""
    drink = drink_meant(command, scene)
    house = scene.book.house
    points = Decimal(command.slots.get("percent", house.target_pour_cost * 100))
    if not 0 < points < 100:
        return Answer(Reply("A pour cost lies between one and ninety-nine percent. Which one?"), scene.focus)
    found = price_for(drink_now(drink, scene.focus), scene.book, points / 100)
    focus = replace(scene.focus, drink=drink.name)
    if found.price is None:
        return Answer(Reply(_cannot_tell(found.costing, house), _card(found.costing, scene)), focus)
    say = (
        f"At {percent(points)} the {drink.name} should be {money(found.price, house.currency)}. "
        f"{_as_it_is(found.costing, house)}"
    )
    return Answer(Reply(say.strip(), _target_card(found, house)), focus)


# A drink


def _drink(command: Command, scene: Scene) -> Answer:
    drink = drink_meant(command, scene)
    costing = cost(drink_now(drink, scene.focus), scene.book)
    focus = replace(scene.focus, drink=drink.name)
    return Answer(Reply(_said(costing, focus, scene.book.house), _card(costing, scene)), focus)


def _said(costing: Costing, focus: Focus, house: House) -> str:
    if costing.total is None:
        return _cannot_tell(costing, house)
    say = f"The {called(costing.drink, replace(focus, count=1))} costs {money(costing.total, house.currency)} to make"
    if focus.count > 1:
        say += f", {money(costing.total * focus.count, house.currency)} for {integer(focus.count)},"
    if costing.price is None or costing.pour_cost is None:
        return f"{say.rstrip(',')}. It has no menu price."
    share = f"a pour cost of {percent(costing.pour_cost * 100)}{_against_target(costing.pour_cost, house)}"
    return f"{say} and sells for {money(costing.price, house.currency)}: {share}."


def _against_target(share: Decimal, house: House) -> str:
    return f", over the house's {percent(house.target_pour_cost * 100)}" if share > house.target_pour_cost else ""


def _cannot_tell(costing: Costing, house: House) -> str:
    return (
        f"I cannot cost the {costing.drink.name}: there is no price for {joined(costing.unknown)}. "
        f"The rest comes to {money(costing.known, house.currency)}."
    )


def _as_it_is(costing: Costing, house: House) -> str:
    if costing.price is None or costing.pour_cost is None:
        return "It has no menu price now."
    return f"It is {money(costing.price, house.currency)} now, at {percent(costing.pour_cost * 100)}."


def _card(costing: Costing, scene: Scene) -> Card:
    house = scene.book.house
    price = "no menu price" if costing.price is None else f"{money_figure(costing.price, house).text} on the menu"
    blocks = (_lines(costing, house), _of_the_price(costing, house), _picture(costing, house))
    return Card("cost", capital(called(costing.drink, replace(scene.focus, count=1))), (price,), blocks)


def _lines(costing: Costing, house: House) -> Table:
    rows = [
        Row(
            line.ingredient,
            (amount_figure(line.amount), money_figure(line.cost, house), _share(line.cost, costing)),
            f"no price for {joined(line.unknown)}" if line.cost is None else "garnish" if line.garnish else "",
            "warn" if line.cost is None else "plain",
        )
        for line in costing.lines
    ]
    waste = Row("waste", (f"{house.waste:.0%}", money_figure(costing.waste, house), _share(costing.waste, costing)))
    total = Row("Cost", ("", money_figure(costing.total, house), ""), tone="strong")
    return Table((*rows, replace(waste, tone="muted"), total), HEADS)


def _share(part: Quantity | None, costing: Costing) -> str:
    if part is None or costing.total is None or not costing.total.magnitude:
        return ""
    return percent_figure(part.magnitude / costing.total.magnitude * 100, 0).text


def _of_the_price(costing: Costing, house: House) -> Table:
    share = costing.pour_cost
    over: Tone = "warn" if share is not None and share > house.target_pour_cost else "plain"
    target = f"house target {percent_figure(house.target_pour_cost * 100).text}"
    rows = (
        Row("Menu price", (money_figure(costing.price, house),)),
        Row("Without tax", (money_figure(costing.net_price, house),)),
        Row("Pour cost", (percent_figure(None if share is None else share * 100),), target, over),
        Row("Gross margin", (money_figure(costing.margin, house),), tone="strong"),
    )
    return Table(rows, title="Against the price")


def _picture(costing: Costing, house: House) -> Bars:
    known = [line for line in costing.lines if line.cost is not None]
    top = max((line.cost.magnitude for line in known if line.cost is not None), default=Decimal(0))
    bars = tuple(Bar(line.ingredient, money_figure(line.cost, house)) for line in known)
    return Bars(bars, (top,) * len(bars), "Where the money goes")


def _target_card(found: TargetPrice, house: House) -> Card:
    points = found.pour_cost * 100 if found.pour_cost is not None else None
    now = found.costing.pour_cost
    rows = (
        Row(
            f"At {percent_figure(found.target * 100).text}",
            (money_figure(found.price, house), percent_figure(points)),
            f"exactly {money_figure(found.exact, house).text}",
            "strong",
        ),
        Row("Now", (money_figure(found.costing.price, house), percent_figure(None if now is None else now * 100))),
        Row("Cost to make", (money_figure(found.costing.total, house), "")),
    )
    return Card("price_for_target", found.costing.drink.name, blocks=(Table(rows, ("", "menu price", "pour cost")),))


# An ingredient


def _ingredient(ingredient: Ingredient, drink_name: str, scene: Scene) -> Answer:
    book, house = scene.book, scene.book.house
    focus = replace(scene.focus, ingredient=ingredient.name)
    measure = _told_by(ingredient)
    found = cost_of(ingredient.name, measure, book)
    if found.cost is None:
        return Answer(Reply(_unpriced(ingredient, found.unknown, book)), focus)
    if not found.cost.magnitude:
        return Answer(Reply(sentence(f"{ingredient.name} costs nothing, by the book")), focus)
    told = [pack_said(ingredient.pack, house) if ingredient.pack else "made in the house"]
    each = f"{money(found.cost, house.currency)} {_for(measure)}"
    told += [each] if each not in told else []
    rows = [Row(written(measure) or "1", (money_figure(found.cost, house),))]
    if ingredient.pack:
        rows.insert(0, Row("Pack", (money_figure(ingredient.pack.price, house),), pack_size(ingredient.pack).text))
    in_drink = _in_drink(ingredient.name, drink_name, book)
    rows += [Row(f"In the {drink_name}", (money_figure(in_drink, house),))] if in_drink is not None else []
    say = [f"{ingredient.name}: {', '.join(told)}."]
    say += [f"In the {drink_name} it comes to {money(in_drink, house.currency)}."] if in_drink is not None else []
    return Answer(Reply(sentence(" ".join(say)), Card("cost", ingredient.name, blocks=(Table(tuple(rows)),))), focus)


def _so_much(ingredient: Ingredient, asked: Amount, scene: Scene) -> Answer:
    """'What does a litre of lime juice cost?': by its pack and its yield, or by the house's recipe; without waste."""
    house, focus = scene.book.house, replace(scene.focus, ingredient=ingredient.name)
    found = cost_of(ingredient.name, asked, scene.book)
    if found.cost is None:
        return Answer(Reply(_no_sum_for(asked, ingredient, found.unknown, scene.book)), focus)
    told = f"{pour(asked, ingredient.name, of=True)} {'costs' if asked.number <= 1 else 'cost'}"
    say = f"{told} {money(found.cost, house.currency)}"
    if ingredient.pack is None or found.cost != ingredient.pack.price:
        say += f", {_bought(ingredient, house)}"
    rows = [Row(f"{written(asked)} {ingredient.name}", (money_figure(found.cost, house),), tone="strong")]
    if ingredient.pack:
        rows.append(Row("Pack", (money_figure(ingredient.pack.price, house),), pack_size(ingredient.pack).text))
    return Answer(Reply(sentence(say), Card("cost", ingredient.name, blocks=(Table(tuple(rows)),))), focus)


def _bought(ingredient: Ingredient, house: House) -> str:
    """What the sum comes from: 'at thirty dollars a bottle', 'with fruit at forty cents each'."""
    pack = ingredient.pack
    if pack is None:
        return "made in the house"
    pressed = pack.size.check("[count]") and pack.usable.value.check("[volume]")
    return f"{'with fruit at' if pressed else 'at'} {pack_said(pack, house)}"


def _no_sum_for(asked: Amount, ingredient: Ingredient, unknown: tuple[str, ...], book: Book) -> str:
    if cost_of(ingredient.name, _told_by(ingredient), book).cost is None:
        return _unpriced(ingredient, unknown, book)
    return f"I cannot tell what {pour(asked, ingredient.name, of=True)} costs: the book has no size for that measure."


def _told_by(ingredient: Ingredient) -> Amount:
    """The amount that a bar thinks of it by: an ounce, a hundred grams or one piece."""
    size = ingredient.pack.usable.value if ingredient.pack else ingredient.made.makes if ingredient.made else None
    if size is not None and size.check("[count]"):
        return Amount(Decimal(1), Unit.PIECE)
    if size is not None and size.check("[mass]"):
        return Amount(Decimal(100), Unit.GRAM)
    return Amount(Decimal(1), Unit.OUNCE)


def _for(measure: Amount) -> str:
    if measure.unit is Unit.PIECE:
        return "each"
    return "an ounce" if measure.unit is Unit.OUNCE else f"for {amount(measure)}"


def _unpriced(ingredient: Ingredient, unknown: tuple[str, ...], book: Book) -> str:
    if ingredient.made is None:
        return no_pack(ingredient.name, book)
    return sentence(f"{ingredient.name} is made in the house, and there is no price for {joined(unknown)}")


def _in_drink(name: str, drink_name: str, book: Book) -> Quantity | None:
    """What its pours in that drink cost, with waste; None where it has none or the cost is unknown."""
    drink = book.drinks.get(drink_name)
    pours = () if drink is None else tuple(pour for pour in drink.pours if pour.ingredient == name)
    costs = [cost_of(name, pour.amount, book).money for pour in pours]
    known = [cost for cost in costs if cost is not None]
    return as_money(sum(known, Decimal(0)) * (1 + book.house.waste)) if known and len(known) == len(costs) else None


HANDLERS: dict[Intent, Handler] = {Intent.COST: cost_answer, Intent.PRICE_FOR_TARGET: price_for_target}
