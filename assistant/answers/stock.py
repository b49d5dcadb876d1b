"""What is said when something runs out, comes back, or must be replaced: OUT_OF, BACK_IN, SUBSTITUTE, CAN_MAKE."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Counted, Handler, Scene, SetOut
from assistant.answers.figures import change_figure
from assistant.answers.safety import STANDING, caution_lines
from assistant.answers.speech import capital, counted, joined, sentence, some
from assistant.messages import Card, Cell, Focus, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.model import Book, Drink, Role
from recipes.stock import StandIn, answers_to, blocked, can_make, cannot_be_remade, stand_ins
from recipes.stocktake import OnHand

NAMED_ALOUD = 4  # a voice lists no more than this many; the card has them all
SWAPS_ALOUD = 2  # of a whole kind that is out, the card has the stand-ins
NOTICED = {  # a smaller difference goes unsaid
    "abv": Decimal(4),  # % vol
    "sugar": Decimal(60),  # g/L
    "acid": Decimal(1),  # % w/v
    "bitterness": Decimal(1),  # house scale
}


def out_of(command: Command, scene: Scene) -> Answer:
    """'We're out of orgeat': noted, what can stand in, and which drinks that stops."""
    names = _named(command, scene.book)
    new = [name for name in names if name not in scene.out]
    card = _blocked_card(names, scene)
    if not new:
        return Answer(Reply(f"{capital(joined(names))} {_were(names)} already out.", card), scene.focus)
    drinks = [b.drink.name for b in blocked(scene.book, new) if not b.garnish_only]
    gone = replace(scene, out=scene.out | set(new))
    instead = " ".join(_instead(name, gone) for name in new) if len(new) <= SWAPS_ALOUD else ""
    noted = f"Noted: {joined(new)} {'is' if len(new) == 1 else 'are'} out."
    say = " ".join(filter(None, (noted, instead, _stopped(drinks, new))))
    first, *more = (SetOut(name, out=True) for name in new)
    uncounted = (Counted(name, OnHand()) for name in new if name in scene.on_hand)
    return Answer(Reply(say, card), replace(scene.focus, ingredient=new[0]), first, (*more, *uncounted))


def back_in(command: Command, scene: Scene) -> Answer:
    """'Orgeat's back', 'everything is back': noted."""
    if command.slots.get("text") == "all":
        return _all_back(scene)
    names = _named(command, scene.book)
    back = [name for name in names if name in scene.out]
    if not back:
        return Answer(Reply(f"{capital(joined(names))} {_were(names)} not out."), scene.focus)
    rest = sorted(scene.out - set(back))
    left = f"Still out: {joined(rest)}." if rest else "Nothing else is out."
    say = f"Noted: {joined(back)} {'is' if len(back) == 1 else 'are'} back in. {left}"
    first, *more = (SetOut(name, out=False) for name in back)
    return Answer(Reply(say), scene.focus, first, tuple(more))


def _all_back(scene: Scene) -> Answer:
    if not scene.out:
        return Answer(Reply("Nothing was out."), scene.focus)
    names = sorted(scene.out)
    first, *more = (SetOut(name, out=False) for name in names)
    say = f"Noted: {joined(names)} {'is' if len(names) == 1 else 'are'} back in. Nothing is out any longer."
    return Answer(Reply(say), scene.focus, first, tuple(more))


def _named(command: Command, book: Book) -> list[str]:
    """The ingredients that were named, one by one or as all of a kind: 'we're out of eggs' is white, yolk and whole."""
    kind = str(command.slots.get("role", ""))
    of_a_kind = [i.name for i in book.ingredients.values() if answers_to(i, kind) and i.role is not Role.GARNISH]
    named = [str(command.slots[slot]) for slot in ("ingredient", "ingredient_2") if slot in command.slots]
    return list(dict.fromkeys([*(of_a_kind if kind else ()), *named]))


def _were(names: Sequence[str]) -> str:
    return "was" if len(names) == 1 else "were"


def substitute(command: Command, scene: Scene) -> Answer:
    """'What can I use instead of orgeat?': the stand-ins, best first, allergens before taste."""
    name = str(command.slots.get("ingredient") or scene.focus.ingredient or "")
    if not name:
        return Answer(Reply("Instead of what? Name the ingredient, for example: instead of orgeat."), scene.focus)
    offers = stand_ins(name, scene.book, scene.out)
    focus = replace(scene.focus, ingredient=name)
    if not offers:
        return Answer(Reply(f"I have no stand-in for {name}. Taste what is on the shelf and adjust."), focus)
    say = f"{sentence(_instead(name, scene))} {_how_it_differs(offers[0])}".strip()
    return Answer(
        Reply(say, Card("substitute", f"Instead of {name}", blocks=(_offers(name, offers),)), (STANDING,)), focus
    )


def makeable(command: Command, scene: Scene) -> Answer:
    """'What can I make with mezcal and no citrus?': the drinks that nothing stops."""
    slots = command.slots
    if "drink" in slots:
        return _this_one(scene.book.drinks[str(slots["drink"])], scene)
    using = [str(slots["ingredient"])] if "ingredient" in slots else []
    rest = [str(slots[key]) for key in ("ingredient_2", "role") if key in slots]
    using, without = (using + rest, []) if slots.get("text") == "and" else (using, rest)
    drinks = can_make(scene.book, scene.out, using, without)
    asked = joined([f"with {joined(using)}"] * bool(using) + [f"without {joined(without, 'or')}"] * bool(without))
    if not drinks:
        say = f"No drink {asked} can be made from what is in.".replace("  ", " ")
        return Answer(Reply(f"{say} Ask for less, or for a riff."), scene.focus)
    say = f"{_how_many(drinks)} {asked}".strip() + f": {some([drink.name for drink in drinks], NAMED_ALOUD)}."
    card = _drinks_card(asked or "from what is in", drinks)
    return Answer(Reply(say, card, (STANDING,) if without else ()), _on(scene.focus, drinks))


def _this_one(drink: Drink, scene: Scene) -> Answer:
    """'Can I make a Negroni?': whether anything in it is out, and what can stand in."""
    focus = replace(scene.focus, drink=drink.name, ingredient=None)
    poured = [name for name in dict.fromkeys(pour.ingredient for pour in drink.pours) if name in scene.out]
    bare = [name for name in drink.garnish if name in scene.out]
    garnish = f"It goes out without {joined(bare, 'or')}." if bare else ""
    cautions = caution_lines(drink, scene.book)
    if not poured:
        say = f"Yes, nothing that the {drink.name} pours is out. {garnish}".strip()
        rows = tuple(Row(pour.ingredient, ("not out",)) for pour in drink.pours)
        return Answer(Reply(say, Card("can_make", drink.name, blocks=(Table(rows),)), cautions), focus)
    instead = " ".join(_instead(name, scene) for name in poured)
    say = f"Not as written: we are out of {joined(poured)}. {instead} {garnish}".strip()
    table = [_offers(name, offers) for name in poured if (offers := stand_ins(name, scene.book, scene.out))]
    card = Card("can_make", f"{drink.name}: out of {joined(poured)}", blocks=tuple(table))
    return Answer(Reply(say, card, cautions), replace(focus, ingredient=poured[0]))


def _how_many(drinks: Sequence[Drink]) -> str:
    return counted(len(drinks), "drink").capitalize()


def _on(focus: Focus, drinks: Sequence[Drink]) -> Focus:
    """One drink alone is what is talked of next."""
    return replace(focus, drink=drinks[0].name, other=focus.drink) if len(drinks) == 1 else focus


def _stopped(drinks: Sequence[str], names: Sequence[str]) -> str:
    """Named again, since what stands in was spoken of between."""
    if not drinks:
        return f"No drink needs {joined(names, 'or')}."
    many = counted(len(drinks), "drink")
    return f"Without {joined(names, 'and')} {many} cannot be made: {some(drinks, NAMED_ALOUD)}."


def _instead(name: str, scene: Scene) -> str:
    offers = stand_ins(name, scene.book, scene.out)[:2]
    if not offers:
        return f"I have no stand-in for {name}."
    use = f"Use {joined([offer.ingredient.name for offer in offers], 'or')} instead of {name}."
    return " ".join([use, *_allergens_of(offers)])


def _allergens_of(offers: Sequence[StandIn]) -> list[str]:
    """What the stand-ins bring, one sentence each; then those whose allergens nobody wrote down."""
    said = [f"{capital(o.ingredient.name)} brings {joined(o.brings_allergens)}." for o in offers if o.brings_allergens]
    unknown = [offer.ingredient.name for offer in offers if offer.allergens_unknown]
    return said + [f"Ask first: the allergens of {joined(unknown)} are unknown."] * bool(unknown)


def _how_it_differs(offer: StandIn) -> str:
    words = _differences(offer)
    return f"{capital(offer.ingredient.name)} is {joined(words)}." if words else ""


def _differences(offer: StandIn) -> list[str]:
    bitterness = None if offer.bitterness_change is None else Decimal(offer.bitterness_change)
    scales = (
        (offer.abv_change, NOTICED["abv"], "stronger", "lighter in alcohol"),
        (offer.sugar_change, NOTICED["sugar"], "sweeter", "drier"),
        (offer.acid_change, NOTICED["acid"], "sharper", "softer"),
        (bitterness, NOTICED["bitterness"], "more bitter", "less bitter"),
    )
    return [
        more if change > 0 else less
        for change, least, more, less in scales
        if change is not None and abs(change) >= least
    ]


def _offers(name: str, offers: Sequence[StandIn]) -> Table:
    rows = [
        Row(
            offer.ingredient.name,
            (
                change_figure(offer.abv_change, "% vol"),
                change_figure(offer.sugar_change, "g/l", 0),
                change_figure(offer.acid_change, "% acid"),
            ),
            note=_note(offer),
            tone="warn" if offer.brings_allergens or offer.allergens_unknown else "plain",
        )
        for offer in offers
    ]
    return Table(tuple(rows), ("Stand-in", "Strength", "Sugar", "Acid"), f"Change against {name}")


def _note(offer: StandIn) -> str:
    parts = [f"brings {joined(offer.brings_allergens)}"] if offer.brings_allergens else []
    parts += [f"without {joined(offer.drops_allergens)}"] if offer.drops_allergens else []
    parts += ["allergens unknown, ask"] if offer.allergens_unknown else []
    parts += [joined(offer.shared_flavours)] if offer.shared_flavours else []
    return "; ".join(parts)


def _blocked_card(names: Sequence[str], scene: Scene) -> Card:
    out = scene.out | set(names)
    stopped = blocked(scene.book, out)
    rows = [
        Row(
            b.drink.name,
            (joined(b.missing),),
            "garnish only" if b.garnish_only else "",
            "muted" if b.garnish_only else "warn",
        )
        for b in stopped
    ]
    blocks: list[Table | Note] = [Table(tuple(rows), ("Stopped", "Lacks"), "What is out tonight")] if rows else []
    remade = cannot_be_remade(scene.book, out)
    if remade:
        blocks.append(Note(f"Cannot be made again without it: {joined(remade)}. What is on hand can still be poured."))
    blocks += [_offers(name, offers) for name in names if (offers := stand_ins(name, scene.book, out))]
    return Card("out_of", f"Out: {joined(sorted(out))}", blocks=tuple(blocks))


def _drinks_card(title: str, drinks: Sequence[Drink]) -> Card:
    rows: list[Row] = []
    for drink in drinks:
        cells: tuple[Cell, ...] = (joined([pour.ingredient for pour in drink.pours]),)
        rows.append(Row(drink.name, cells))
    return Card("can_make", f"What can be made {title}", blocks=(Table(tuple(rows), ("Drink", "Made of")),))


HANDLERS: dict[Intent, Handler] = {
    Intent.OUT_OF: out_of,
    Intent.BACK_IN: back_in,
    Intent.SUBSTITUTE: substitute,
    Intent.CAN_MAKE: makeable,
}
