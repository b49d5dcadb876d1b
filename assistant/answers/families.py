"""What is said of families: FAMILY. Which one a drink is of and why; what a family's formula is and who is in it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.figures import amount_figure
from assistant.answers.speech import amount, article, capital, joined, some
from assistant.messages import Bar, Bars, Block, Card, Figure, Note, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.families import Formula, Placement, Poured, branches, classify, family_called, formula
from recipes.model import Book, Drink, FamilyRule
from recipes.spec import to_step
from recipes.units import Amount, Quantity, Unit

NAMED_ALOUD = 4  # drinks; the card has them all
SHOWN = 4  # ingredients of a slot
EIGHTH = Decimal("0.125")  # of an ounce: how finely ranges are told
SAID = {"fortified": "fortified wine"}
SPOONFUL = Decimal("0.1")  # of an ounce: less is told as a dash or a spoon


def family_answer(command: Command, scene: Scene) -> Answer:
    """'What family is the Sidecar?', 'what's a daisy?', 'is the Sidecar a sour?'"""
    slots = command.slots
    rule = family_called(str(slots["family"]), scene.book) if "family" in slots else None
    if rule is not None and "drink" not in slots:
        return _of_family(rule, scene)
    drink = scene.book.drinks[str(slots["drink"])]
    placed = classify(drink, scene.book)
    said = _in_family(drink, placed, rule, scene.book) if rule else _of_drink(drink, placed, scene.book)
    focus = replace(scene.focus, drink=drink.name)
    return Answer(Reply(said, _drink_card(drink, placed, scene.book)), focus)


def families_compared(first: str, second: str, scene: Scene) -> Answer:
    """'What's the difference between a daisy and a sour?'"""
    rules = [family_called(name, scene.book) for name in (first, second)]
    if rules[0] is None or rules[1] is None:
        return Answer(Reply("I know only one of those families. Ask for the family of a drink."), scene.focus)
    one, two = rules[0], rules[1]
    said = [f"{capital(article(rule.title))} is {rule.reason}." for rule in (one, two)]
    said += [f"The {a.title} is a branch of the {b.title}." for a, b in ((one, two), (two, one)) if a.branch_of == b.id]
    blocks = tuple(_ranges(formula(rule.id, scene.book)) for rule in (one, two))
    return Answer(Reply(" ".join(said), Card("compare", f"{one.title} and {two.title}", blocks=blocks)), scene.focus)


# Of a drink


def _of_drink(drink: Drink, placed: Placement, book: Book) -> str:
    if placed.family is None:
        return _of_none(drink, placed, book)
    rule = book.families[placed.family]
    return f"The {drink.name} is {_titled(rule, book)}: {rule.reason}. {_filled(placed)}"


def _of_none(drink: Drink, placed: Placement, book: Book) -> str:
    said = f"The {drink.name} fits no family that this book knows."
    if placed.near is None:
        return said
    lacking = f", but it has no {joined(placed.lacking, 'and no')}" if placed.lacking else ""
    return f"{said} It comes nearest to the {book.families[placed.near].title}{lacking}."


def _in_family(drink: Drink, placed: Placement, asked: FamilyRule, book: Book) -> str:
    """The answer to 'why is it a daisy' and 'is it a sour'."""
    if placed.family is None:
        return f"No. {_of_none(drink, placed, book)}"
    rule = book.families[placed.family]
    if rule.id == asked.id:
        return f"Yes: the {drink.name} is {article(rule.title)} because it is {rule.reason}. {_filled(placed)}"
    if asked.id in _ancestors(rule, book):
        return f"Of a kind: the {drink.name} is {_titled(rule, book)}. It is {rule.reason}. {_filled(placed)}"
    own = f"The {drink.name} is {_titled(rule, book)}: {rule.reason}."
    return f"No: {article(asked.title)} is {asked.reason}. {own}"


def _titled(rule: FamilyRule, book: Book) -> str:
    """'a daisy, a branch of the sour'."""
    parent = book.families.get(rule.branch_of or "")
    return f"{article(rule.title)}, a branch of the {parent.title}" if parent else article(rule.title)


def _ancestors(rule: FamilyRule, book: Book) -> list[str]:
    found: list[str] = []
    parent = rule.branch_of
    while parent is not None and parent not in found:
        found.append(parent)
        parent = book.families[parent].branch_of
    return found


def _filled(placed: Placement) -> str:
    names = [name for slot in placed.filled for name in slot.ingredients]
    return f"Here that is {joined(names)}." if names else ""


def _drink_card(drink: Drink, placed: Placement, book: Book) -> Card:
    rule = book.families.get(placed.family or placed.near or "")
    rows = [Row(capital(_slot_name(slot.term)), (joined(slot.ingredients),)) for slot in placed.filled]
    blocks: list[Block] = [Table(tuple(rows), ("Slot", drink.name), "How it fills the formula")]
    if rule is not None:
        blocks.append(_ranges(formula(rule.id, book)))
    title = f"{drink.name}: {book.families[placed.family].title}" if placed.family else drink.name
    facts = (rule.reason,) if rule and placed.family else ()
    return Card("family", title, facts, tuple(blocks))


# Of a family


def _of_family(rule: FamilyRule, scene: Scene) -> Answer:
    book = scene.book
    found = formula(rule.id, book)
    comma = "," if rule.branch_of else ""
    said = [f"{capital(_titled(rule, book))}{comma} is {rule.reason}."]
    usual = [f"{amount(_ounces(poured.usual, book))} {_slot_name(term)}" for term, poured in _main(found, book)]
    said += [f"Usually {joined(usual)}."] if usual else []
    said += [f"In the book: {some(found.drinks, NAMED_ALOUD)}."] if found.drinks else ["The book has none yet."]
    focus = replace(scene.focus, drink=found.drinks[0]) if len(found.drinks) == 1 else scene.focus
    return Answer(Reply(" ".join(said), _family_card(rule, found, book)), focus)


def _main(found: Formula, book: Book) -> list[tuple[str, Poured]]:
    """The slots that at least half of the family fill, and that a jigger measures."""
    least = book.house.measures.ounce * SPOONFUL
    filled = [(slot.term, slot.poured) for slot in found.slots if 2 * slot.drinks >= len(found.drinks)]
    return [(term, poured) for term, poured in filled if poured is not None and poured.usual > least]


def _family_card(rule: FamilyRule, found: Formula, book: Book) -> Card:
    drinks = [Row(name, (joined([p.ingredient for p in book.drinks[name].pours]),)) for name in found.drinks]
    blocks: list[Block] = [_picture(found, book), _ranges(found)]
    blocks += [Table(tuple(drinks), ("Drink", "Made of"), "In the book")] if drinks else []
    kin = [branch.title for branch in branches(rule.id, book)]
    blocks += [Note(f"Branches: {joined(kin)}.")] if kin else []
    facts = (rule.reason, *((f"a branch of the {book.families[rule.branch_of].title}",) if rule.branch_of else ()))
    return Card("family", capital(rule.title), facts, tuple(blocks))


def _picture(found: Formula, book: Book) -> Bars:
    """The usual amount of each slot in ounces, and the band it moves in."""
    bars = [_bar(term, poured, book) for term, poured in _main(found, book)]
    top = max([bar.high for bar in bars if bar.high is not None], default=Decimal(1))
    return Bars(tuple(bars), (top,) * len(bars), "Formula, in ounces")


def _bar(term: str, poured: Poured, book: Book) -> Bar:
    low, usual, high = (_ounces(volume, book) for volume in (poured.low, poured.usual, poured.high))
    return Bar(capital(_slot_name(term)), amount_figure(usual), low.number, high.number)


def _ranges(found: Formula) -> Table:
    of_all = len(found.drinks)
    rows = [
        Row(
            capital(_slot_name(slot.term)),
            (joined(slot.ingredients[:SHOWN]), Figure(Decimal(slot.drinks), "drinks", f"{slot.drinks} of {of_all}")),
        )
        for slot in found.slots
    ]
    return Table(tuple(rows), ("Slot", "Usually", "Drinks"), f"What fills the {found.family.title}")


def _ounces(value: Quantity, book: Book) -> Amount:
    ounces = (value / book.house.measures.ounce).to("dimensionless").magnitude
    return Amount(to_step(ounces, EIGHTH), Unit.OUNCE)


def _slot_name(term: str) -> str:
    """A slot as it is said: the first two of its words, or one that says both ('liqueur' of 'bitter liqueur')."""
    first, *others = term.split(" or ")
    said = [first, *(word for word in others if not word.endswith(first))][:2]
    return " or ".join(SAID.get(word, word) for word in said)


HANDLERS: dict[Intent, Handler] = {Intent.FAMILY: family_answer}
