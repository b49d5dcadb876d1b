"""What is said of the whole menu: its costs, menu engineering, and which prices hurt most when they move.

All are COST, told apart by the slot `text`: 'over' or 'under' a percentage, 'menu', 'mix' and 'moves'.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from assistant.answers.base import Answer, Scene
from assistant.answers.figures import figure, money_figure, percent_figure
from assistant.answers.pack_prices import MOST_ROWS
from assistant.answers.speech import capital, counted, integer, joined, money, percent, some
from assistant.messages import Bar, Bars, Block, Card, Dot, Note, Plot, Reply, Row, Table, Tone
from grammar.command import Command
from recipes.costing import Costing
from recipes.menu_costs import Menu, menu
from recipes.menu_engineering import MenuMix, Quadrant, Standing, menu_mix
from recipes.model import House
from recipes.price_moves import Spending, spending

MOST_PRINTED = 500  # of a whole menu, which is asked for to be printed
MOST_BARS = 16
MOST_DOTS = 15  # of each quadrant: on a phone more of them lie on top of each other
SAID = 4  # names that a sentence reads at most
RISE = Decimal(10)  # percent, where nobody says how far prices move
ADVICE = {
    Quadrant.STAR: "popular and earning well: keep them as they are, where guests see them",
    Quadrant.PLOWHORSE: "popular, earning less than most: look at their cost or their price",
    Quadrant.PUZZLE: "earning well, seldom ordered: have them offered",
    Quadrant.DOG: "neither: change them or take them off",
}
TONES: Mapping[Quadrant, Tone] = {Quadrant.STAR: "good", Quadrant.DOG: "warn"}
NO_SALES = "I know of no sales. Import the till's list first: prep-assistant import sales, and the file."


def menu_answer(command: Command, scene: Scene) -> Answer:
    """'Which drinks are over twenty-two percent?', 'what does the menu cost?', 'which are the stars?'"""
    slots = command.slots
    found = _TOPICS.get(str(slots.get("text")))
    if found is not None:
        return Answer(found(command, scene), scene.focus)
    return Answer(_listing(Decimal(slots["percent"]), slots.get("text") == "under", scene), scene.focus)


# What it costs


def _listing(points: Decimal, under: bool, scene: Scene) -> Reply:
    """The drinks over (or under) a percentage, dearest pour cost first."""
    limit = points / 100
    found = menu(scene.book, under=limit) if under else menu(scene.book, over=limit)
    word = "under" if under else "over"
    title = f"{word.capitalize()} {percent_figure(points).text}"
    card = Card("cost", title, blocks=_menu_blocks(found, scene.book.house))
    return Reply(_listed(found, f"{word} {percent(points)}"), card)


def _whole_menu(_: Command, scene: Scene) -> Reply:
    """Every drink with a price, dearest pour cost first."""
    found, house = menu(scene.book), scene.book.house
    if not found.costings:
        return Reply("No drink of the menu has both a price and a cost that I know.")
    over = sum(_share(costing) > house.target_pour_cost for costing in found.costings)
    first, target = found.costings[0], percent(house.target_pour_cost * 100)
    say = (
        f"{capital(counted(len(found.costings), 'drink'))} on the menu, {integer(over) if over else 'none'} over "
        f"{target}. The dearest is the {first.drink.name}, at {percent(_share(first) * 100)} of its price. "
        f"{_together(found, scene)}"
    )
    return Reply(say.strip(), Card("cost", "The menu", blocks=_menu_blocks(found, house, MOST_PRINTED)))


def _together(found: Menu, scene: Scene) -> str:
    """The pour cost of the whole: by the last sales list, or else with one of each."""
    counts = {c.drink.name: Decimal(scene.sold.get(c.drink.name, 0) if scene.sold else 1) for c in found.costings}
    cost = sum((c.known_money * counts[c.drink.name] for c in found.costings), Decimal(0))
    net = sum(((c.net_money or Decimal(0)) * counts[c.drink.name] for c in found.costings), Decimal(0))
    if not net:
        return ""
    how = "by the last sales list" if scene.sold else "one of each sold"
    return f"All together, {how}, it is {percent(cost / net * 100)}."


def _listed(found: Menu, limit: str) -> str:
    told = [f"{c.drink.name} at {percent(_share(c) * 100)}" for c in found.costings[:SAID]]
    named = told + [c.drink.name for c in found.costings[SAID:]]
    unknown = [costing.drink.name for costing in found.unknown]
    verb = "has" if len(named) == 1 else "have"
    say = [f"{capital(counted(len(named), 'drink'))} {verb} a pour cost {limit}: {some(named)}." if named else ""]
    say += [f"No drink has a pour cost {limit}." if not named else ""]
    say += [f"I cannot tell for {some(unknown)}." if unknown else ""]
    return " ".join(filter(None, say))


def _share(costing: Costing) -> Decimal:
    """The pour cost of a drink whose pour cost is known."""
    if costing.pour_cost is None:
        raise ValueError(costing.drink.name)
    return costing.pour_cost


def _menu_blocks(found: Menu, house: House, most: int = MOST_ROWS) -> tuple[Block, ...]:
    all_of_them = (*found.costings, *found.unknown)
    rows = tuple(_menu_row(costing, house) for costing in all_of_them[:most])
    more = len(all_of_them) - len(rows)
    table = Table(rows, ("", "pour cost", "cost", "menu price", "margin"))
    return (table, Note(f"And {counted(more, 'drink')} more.", "muted")) if more else (table,)


def _menu_row(costing: Costing, house: House) -> Row:
    share = costing.pour_cost
    figures = (
        percent_figure(None if share is None else share * 100),
        money_figure(costing.total, house),
        money_figure(costing.price, house),
        money_figure(costing.margin, house),
    )
    note = f"no price for {joined(costing.unknown)}" if costing.unknown else ""
    return Row(
        costing.drink.name, figures, note, "warn" if share is None or share > house.target_pour_cost else "plain"
    )


# How often it is ordered, and what it earns


def _mix(_: Command, scene: Scene) -> Reply:
    """The four quadrants of menu engineering, by the last sales list."""
    found = menu_mix(scene.book, scene.sold) if scene.sold else None
    if found is None:
        return Reply(NO_SALES)
    say = [f"Among {counted(len(found.standings), 'drink')} I count {joined(_counts(found))}."]
    say += [f"The {_kind(Quadrant.STAR, stars)}: {_names(stars)}." for stars in [found.of(Quadrant.STAR)] if stars]
    say += [f"The {_kind(Quadrant.DOG, dogs)}: {_names(dogs)}." for dogs in [found.of(Quadrant.DOG)] if dogs]
    say += [f"I cannot place {some(found.unknown)}: a price is missing." if found.unknown else ""]
    return Reply(" ".join(filter(None, say)), _mix_card(found, scene.book.house))


def _counts(found: MenuMix) -> list[str]:
    held = [(quadrant, found.of(quadrant)) for quadrant in Quadrant]
    return [counted(len(of), quadrant) for quadrant, of in held if of]


def _kind(quadrant: Quadrant, of: Sequence[Standing]) -> str:
    return f"{quadrant} is" if len(of) == 1 else f"{quadrant}s are"


def _names(standings: Sequence[Standing]) -> str:
    return some([standing.costing.drink.name for standing in standings])


def _mix_card(found: MenuMix, house: House) -> Card:
    facts = (
        f"popular from {percent_figure(found.popular_from * 100).text} of what was sold",
        f"earning well from {money_figure(found.average_margin, house).text} a drink",
    )
    held = {quadrant: of for quadrant in Quadrant if (of := found.of(quadrant))}
    shown = [one for of in held.values() for one in of[:MOST_DOTS]]
    blocks: list[Block] = [_quadrants(shown, found, house)]
    if len(shown) < len(found.standings):
        text = f"The picture shows {integer(len(shown))} of them: of each kind those that earned most."
        blocks.append(Note(text, "muted"))
    tables = (_quadrant(quadrant, of, house) for quadrant, of in held.items())
    return Card("cost", "Menu engineering", facts, (*blocks, _earned(found, house), *tables))


def _quadrants(shown: Sequence[Standing], found: MenuMix, house: House) -> Plot:
    """Each of these drinks by how often it is ordered, against what one of it earns."""
    dots = tuple(
        Dot(
            one.costing.drink.name,
            percent_figure(one.share * 100),
            money_figure(one.margin, house),
            TONES.get(one.quadrant, "plain"),
        )
        for one in shown
    )
    return Plot(
        dots,
        across="ordered more often",
        up="earning more each",
        across_from=percent_figure(found.popular_from * 100),
        up_from=money_figure(found.average_margin, house),
        fields=(f"{Quadrant.PUZZLE}s", f"{Quadrant.STAR}s", f"{Quadrant.DOG}s", f"{Quadrant.PLOWHORSE}s"),
        title="Popularity against margin",
    )


def _earned(found: MenuMix, house: House) -> Bars:
    shown = found.standings[:MOST_BARS]
    bars = tuple(
        Bar(one.costing.drink.name, money_figure(one.earned, house), tone=TONES.get(one.quadrant, "plain"))
        for one in shown
    )
    top = max((one.earned.magnitude for one in shown), default=Decimal(0))
    return Bars(bars, (top or Decimal(1),) * len(bars), "What each earned")


def _quadrant(quadrant: Quadrant, standings: Sequence[Standing], house: House) -> Table:
    rows = tuple(
        Row(
            one.costing.drink.name,
            (figure(one.sold, "sold"), percent_figure(one.share * 100), money_figure(one.margin, house)),
            tone=TONES.get(quadrant, "plain"),
        )
        for one in standings[:MOST_ROWS]
    )
    title = f"{counted(len(standings), quadrant).capitalize()}, {ADVICE[quadrant]}"
    return Table(rows, ("", "sold", "of all", "margin"), title)


# Which prices hurt


def _moves(command: Command, scene: Scene) -> Reply:
    """What goes into each bottle, and how much a rise of its price adds."""
    house, points = scene.book.house, Decimal(command.slots.get("percent", RISE))
    found = spending(scene.book, scene.sold)
    if not found or points <= 0:
        return Reply("There is no price on the menu whose move I could work out.")
    by, first = points / 100, found[0]
    over = "the drinks of the last sales list" if scene.sold else "one of each drink on the menu"
    rest = [spent.ingredient for spent in found[1:3]]
    say = [
        f"{capital(first.ingredient)} hurts most: {percent(points)} on its price adds "
        f"{money(first.rise(by), house.currency)} to {over}, in {counted(len(first.by_drink), 'drink')}."
    ]
    say += [f"Then {joined(rest)}." if rest else ""]
    return Reply(" ".join(filter(None, say)), _moves_card(found, by, over, house))


def _moves_card(found: Sequence[Spending], by: Decimal, over: str, house: House) -> Card:
    rows = tuple(
        Row(
            spent.ingredient,
            (percent_figure(spent.share * 100), money_figure(spent.spent, house), money_figure(spent.rise(by), house)),
            f"in {len(spent.by_drink)} of them, most in the {spent.most_in}",
        )
        for spent in found[:MOST_ROWS]
    )
    heads = ("", "of all costs", "spent", f"{percent_figure(by * 100).text} dearer adds")
    return Card("cost", "Prices that hurt", (over,), (Table(rows, heads),))


_TOPICS: Mapping[str, Callable[[Command, Scene], Reply]] = {"menu": _whole_menu, "mix": _mix, "moves": _moves}
