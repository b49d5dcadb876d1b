"""What is said of drinks in an order: RANK. The strongest, the driest, the cheapest, what earns and sells best."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from assistant.answers.balances import STRENGTH, word_for
from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import figure, money_figure, percent_figure
from assistant.answers.menu import NO_SALES
from assistant.answers.speech import counted, integer, joined, money, percent, some
from assistant.filling import turned
from assistant.messages import Bar, Bars, Block, Card, Figure, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.balance import balance
from recipes.costing import as_money
from recipes.families import drinks_in
from recipes.model import Book, Drink, House
from recipes.ranking import Measure, Ranking, measure_of, ranking
from recipes.stock import blocked

SAID = 3  # drinks that a voice reads; alike ones count as one
SHOWN = 20
SOLD = "sold"  # the part of a question about sales
HEADS: Mapping[tuple[Measure, bool], tuple[str, str]] = {
    (Measure.STRENGTH, True): ("The strongest", "as served"),
    (Measure.STRENGTH, False): ("The weakest", "as served"),
    (Measure.ALCOHOL, True): ("The most alcohol", "in one glass"),
    (Measure.ALCOHOL, False): ("The least alcohol", "in one glass"),
    (Measure.SUGAR, True): ("The sweetest", "by sugar"),
    (Measure.SUGAR, False): ("The driest", "by sugar"),
    (Measure.ACID, True): ("The sharpest", "by acid"),
    (Measure.ACID, False): ("The least sharp", "by acid"),
    (Measure.BITTERNESS, True): ("The most bitter", ""),
    (Measure.BITTERNESS, False): ("The least bitter", ""),
    (Measure.PRICE, True): ("The dearest", "by menu price"),
    (Measure.PRICE, False): ("The cheapest", "by menu price"),
    (Measure.COST, True): ("The dearest to make", ""),
    (Measure.COST, False): ("The cheapest to make", ""),
    (Measure.POUR_COST, True): ("The highest pour cost", ""),
    (Measure.POUR_COST, False): ("The lowest pour cost", ""),
    (Measure.MARGIN, True): ("The best margin", "after its cost"),
    (Measure.MARGIN, False): ("The worst margin", "after its cost"),
}  # the words before and after those that narrow it: 'the weakest of the sour family, as served'
RECKONED = (
    "Reckoned from label strengths; ice varies, so take fifteen percent either way. "
    "It does not tell how drunk a guest is, or who may drive."
)
HIDDEN = "Acid hides sweetness and sugar hides acid: taste before you promise."
CAUTIONS: Mapping[Measure, tuple[str, ...]] = {
    Measure.STRENGTH: (RECKONED,),
    Measure.ALCOHOL: (RECKONED,),
    Measure.SUGAR: (HIDDEN,),
    Measure.ACID: (HIDDEN,),
}


def rank(command: Command, scene: Scene) -> Answer:
    """'What's the strongest drink on the menu?', 'the driest sours', 'the cheapest drinks with gin'."""
    among = _among(command, scene.book)
    if not among:
        return Answer(Reply(_none(command, scene.book)), scene.focus)
    most = command.slots.get("text") != "least"
    if command.slots["part"] == SOLD:
        return _by_sales(among, most, scene)
    found = ranking(Measure(str(command.slots["part"])), scene.book, most=most, among=among)
    if not found.drinks:
        lack = f"I lack numbers for {some([drink.name for drink in found.unknown])}." if found.unknown else ""
        return Answer(Reply(f"I cannot tell that of any drink. {lack}".strip()), scene.focus)
    return _answer(found, _head(command, found.measure, most, scene.book), most, scene)


def _answer(found: Ranking, head: str, most: bool, scene: Scene) -> Answer:
    off = {each.drink.name: each.missing for each in blocked(scene.book, scene.out) if not each.garnish_only}
    on = [drink for drink in found.drinks if drink.name not in off] or list(found.drinks)
    say = [f"{head}: {_read_out(on, found.measure, scene)}."]
    say += [_most_alcohol(on, scene.book)] if found.measure is Measure.STRENGTH and most else []
    say += [f"Unknown for {some([drink.name for drink in found.unknown])}: ask."] if found.unknown else []
    card = _card(found, head, off, scene)
    focus = turned(scene.focus, Command(Intent.SPEC, {"drink": on[0].name}))
    return Answer(Reply(" ".join(filter(None, say)), card, CAUTIONS.get(found.measure, ())), focus)


# Which drinks


def _among(command: Command, book: Book) -> tuple[Drink, ...]:
    """The drinks of a shelf, of a family and its branches, or with an ingredient; else all."""
    slots = command.slots
    drinks: Iterable[Drink] = book.drinks_on(str(slots["shelf"])) if "shelf" in slots else book.drinks.values()
    if "family" in slots:
        of_family = {drink.name for drink in drinks_in(str(slots["family"]), book)}
        drinks = [drink for drink in drinks if drink.name in of_family]
    if "ingredient" in slots:
        drinks = [drink for drink in drinks if drink.pour_of(str(slots["ingredient"]))]
    return tuple(drinks)


def _head(command: Command, measure: Measure, most: bool, book: Book) -> str:
    before, after = HEADS[measure, most]
    said = " ".join(filter(None, (before, _of_what(command, book))))
    return f"{said}, {after}" if after else said


def _none(command: Command, book: Book) -> str:
    """Of almonds that are in the orgeat nobody is told that no drink has them."""
    if "ingredient" in command.slots:
        return f"No such drink pours {command.slots['ingredient']} as it is. Ask what has it if a guest must not."
    return f"The book has no drink {_of_what(command, book)}."


def _of_what(command: Command, book: Book) -> str:
    slots = command.slots
    told = [f"of the {book.families[str(slots['family'])].title} family"] if "family" in slots else []
    told += [f"of {book.shelves.get(str(slots['shelf']), str(slots['shelf']))}"] if "shelf" in slots else []
    told += [f"with {slots['ingredient']}"] if "ingredient" in slots else []
    return " ".join(told)


# For the ear


def _read_out(drinks: Sequence[Drink], measure: Measure, scene: Scene) -> str:
    """The first of them; those of which the same is said stand together: 'Bijou and Sidecar at eighteen dollars'."""
    if measure not in ALOUD:
        return joined([drink.name for drink in drinks[:SAID]])
    groups: dict[str, list[str]] = {}
    for drink in drinks:
        said = ALOUD[measure](_known(drink, measure, scene.book), scene.book.house)
        if said not in groups and sum(map(len, groups.values())) >= SAID:
            break
        groups.setdefault(said, []).append(drink.name)
    return ", then ".join(f"{some(names)}{said}" for said, names in groups.items())


def _known(drink: Drink, measure: Measure, book: Book) -> Decimal:
    """The measure of a drink that is known to have one."""
    value = measure_of(drink, measure, book)
    if value is None:
        raise ValueError(drink.name)
    return value


def _most_alcohol(drinks: Sequence[Drink], book: Book) -> str:
    """Told where a weaker drink is so large that it holds more than the strongest."""
    most = ranking(Measure.ALCOHOL, book, among=drinks).drinks
    held = balance(most[0], book).standard
    if held is None or most[0] is drinks[0]:
        return ""
    halves = (held.us * 2).to_integral_value(ROUND_HALF_UP) / 2
    return f"Most alcohol in one glass: the {most[0].name}, about {counted(halves, 'US standard drink')}."


def _strength_aloud(value: Decimal, _: House) -> str:
    return f", {word_for(value, STRENGTH)}" if value <= STRENGTH[0][0] else f" at about {percent(value, 0)}"


def _money_aloud(value: Decimal, house: House) -> str:
    return f" at {money(as_money(value), house.currency)}"


ALOUD: Mapping[Measure, Callable[[Decimal, House], str]] = {
    Measure.STRENGTH: _strength_aloud,
    Measure.PRICE: _money_aloud,
    Measure.COST: _money_aloud,
    Measure.POUR_COST: lambda value, _: f" at {percent(value * 100)}",
    Measure.MARGIN: _money_aloud,
}


# For the eye


def _card(found: Ranking, head: str, off: Mapping[str, Sequence[str]], scene: Scene) -> Card:
    shown = [(drink, _known(drink, found.measure, scene.book)) for drink in found.drinks[:SHOWN]]
    figures = [EYE[found.measure](value, scene.book.house) for _, value in shown]
    top = max((abs(value) for _, value in shown), default=Decimal(0)) or Decimal(1)
    pairs = list(zip(shown, figures, strict=True))
    bars = Bars(tuple(Bar(drink.name, told) for (drink, _), told in pairs), (_top(found, top),) * len(shown))
    rows = tuple(
        Row(drink.name, (told,), f"off tonight: no {joined(off[drink.name])}" if drink.name in off else "")
        for (drink, _), told in pairs
    )
    blocks: list[Block] = [bars, Table(rows)]
    more = len(found.drinks) - len(shown)
    blocks += [Note(f"And {counted(more, 'drink')} more.", "muted")] if more else []
    unknown = [drink.name for drink in found.unknown]
    blocks += [Note(f"Unknown, ask: {joined(unknown)}.", "warn")] if unknown else []
    return Card("rank", head, blocks=tuple(blocks))


def _top(found: Ranking, top: Decimal) -> Decimal:
    """The longest bar, in the unit that its figure is shown in."""
    return top * 100 if found.measure is Measure.POUR_COST else top


def _money(value: Decimal, house: House) -> Figure:
    return money_figure(as_money(value), house)


EYE: Mapping[Measure, Callable[[Decimal, House], Figure]] = {
    Measure.STRENGTH: lambda value, _: figure(value, "% vol"),
    Measure.ALCOHOL: lambda value, _: figure(value, "g"),
    Measure.SUGAR: lambda value, _: figure(value, "g/l", 0),
    Measure.ACID: lambda value, _: figure(value, "% acid", 2),
    Measure.BITTERNESS: lambda value, _: figure(value, "of 5"),
    Measure.PRICE: _money,
    Measure.COST: _money,
    Measure.POUR_COST: lambda value, _: percent_figure(value * 100),
    Measure.MARGIN: _money,
}


# By the last sales list


def _by_sales(among: Sequence[Drink], most: bool, scene: Scene) -> Answer:
    """What sells best, or worst, of what was on the till's last list."""
    sold = [(scene.sold[drink.name], drink.name) for drink in among if drink.name in scene.sold]
    if not sold:
        return Answer(Reply(NO_SALES), scene.focus)
    sold.sort(key=lambda pair: -pair[0] if most else pair[0])
    told = joined([f"{name} with {integer(count)}" for count, name in sold[:SAID]])
    head = "What sells best" if most else "What sells worst"
    rows = tuple(Row(name, (figure(count, "sold"),)) for count, name in sold[:SHOWN])
    card = Card("rank", head, ("by the last sales list",), (Table(rows),))
    return Answer(Reply(f"{head}, by the last sales list: {told}.", card), scene.focus)


HANDLERS: dict[Intent, Handler] = {Intent.RANK: rank}
