"""What is said of a draft while it is typed: what is to mend, and what the drink or the ingredient would be like."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.answers.balance_card import card as balance_card
from assistant.answers.base import Scene
from assistant.answers.costs import cost_answer
from assistant.answers.families import family_answer
from assistant.answers.figures import money_figure, percent_figure
from assistant.answers.safety import ALL_OF_THEM, caution_lines, contains
from assistant.answers.sounded import heard_as
from assistant.answers.speech import article, capital, counted, joined, money, percent
from assistant.editing.sounding import Sounding
from assistant.editing.typed import ReadLine
from assistant.messages import Block, Card, Note, Reply, Row, Table, Tone
from grammar.command import Command, Intent
from recipes.balance import balance
from recipes.costing import cost
from recipes.families import classify
from recipes.model import Book, Drink, Ingredient
from recipes.spec import written

NOTHING_YET = "Write a pour, as 2 oz gin, and what it makes of the drink stands here."
KEYS = {"abv": "strength", "sugar": "sugar", "acid": "acid", "density": "density", "bitterness": "bitterness"}


def line_said(line: ReadLine) -> str:
    """What stands beside a line: the pour as it was read, or what is wrong and how to mend it."""
    if line.pour is None:
        return f"{capital(line.problem)}. {capital(line.mend)}."
    note = f", {line.pour.note}" if line.pour.note else ""
    return f"{written(line.pour.amount)} {line.pour.ingredient}, {line.pour.role.value}{note}"


def drink_draft(
    drink: Drink | None, unread: Sequence[ReadLine], mends: int, heard: Sounding | None, scene: Scene
) -> Reply:
    """The drink so far; `scene.book` is the book without it."""
    if drink is None:
        return Reply(f"{_to_mend(mends)} {NOTHING_YET}", Card("draft", "Nothing poured yet", (NOTHING_YET,)))
    book = scene.book.with_drinks((drink,))
    with_it = replace(scene, book=book)
    blocks = (
        *_unread(unread),
        *_named(heard),
        Note(family_answer(Command(Intent.FAMILY, {"drink": drink.name}), with_it).reply.say),
        *balance_card(drink, balance(drink, book), book).blocks,
        *_blocks_of(cost_answer(Command(Intent.COST, {"drink": drink.name}), with_it).reply),
        *_blocks_of(contains(Command(Intent.CONTAINS, {"drink": drink.name, "text": ALL_OF_THEM}), with_it).reply),
    )
    facts = (*_title(drink, book), *_share(drink, book))
    say = f"{_to_mend(mends)} {_in_short(drink, book)}".strip()
    return Reply(say, Card("draft", drink.name, facts, blocks), caution_lines(drink, book))


def ingredient_draft(ingredient: Ingredient | None, mends: int, heard: Sounding | None, scene: Scene) -> Reply:
    """The ingredient so far; `scene.book` has it in it, or, while it has faults, is the book without it."""
    if ingredient is None:
        say = f"{_to_mend(mends)} Once that is done, its cost and its allergens stand here."
        return Reply(say, Card("draft", "Not whole yet", blocks=tuple(_named(heard))))
    name = ingredient.name
    costed = cost_answer(Command(Intent.COST, {"ingredient": name}), scene).reply
    held = contains(Command(Intent.CONTAINS, {"ingredient": name, "text": ALL_OF_THEM}), scene).reply
    blocks = (
        *_named(heard),
        Note(costed.say),
        *_blocks_of(costed),
        Note(held.say),
        *_blocks_of(held),
        *_unknown(ingredient),
        *_poured_in(name, scene.book),
    )
    caution = (capital(ingredient.caution),) if ingredient.caution else ()
    return Reply(f"{_to_mend(mends)} {costed.say}", Card("draft", name, (ingredient.role.value,), blocks), caution)


def _to_mend(count: int) -> str:
    return f"{capital(counted(count, 'thing'))} to mend." if count else "Nothing to mend."


def _unread(lines: Sequence[ReadLine]) -> list[Block]:
    said = [f"“{line.text}”" for line in lines]
    return [Note(f"Reckoned without what cannot be read yet: {joined(said)}.", "warn")] if said else []


def _named(heard: Sounding | None) -> list[Block]:
    if heard is None:
        return []
    first, *more = heard_as(heard)
    worst: Tone = "warn" if not heard.is_sayable else "plain"
    return [Note(first, worst), *(Note(text, "warn") for text in more)]


def _title(drink: Drink, book: Book) -> tuple[str, ...]:
    family = classify(drink, book).family
    return (book.families[family].title,) if family else ("no family",)


def _share(drink: Drink, book: Book) -> tuple[str, ...]:
    found = cost(drink, book)
    if found.total is None:
        return ("cost unknown",)
    made = f"{money_figure(found.total, book.house).text} to make"
    share = found.pour_cost
    return (made, f"{percent_figure(share * 100).text} pour cost") if share is not None else (made, "no menu price")


def _in_short(drink: Drink, book: Book) -> str:
    found, family = cost(drink, book), classify(drink, book).family
    told = [f"It is {article(book.families[family].title)}." if family else "It fits no family that the book knows."]
    if found.total is None:
        told.append(f"Its cost is unknown: there is no price for {joined(found.unknown)}.")
    elif found.pour_cost is None:
        told.append(f"It costs {money(found.total, book.house.currency)} to make.")
    else:
        share = percent(found.pour_cost * 100)
        told.append(f"It costs {money(found.total, book.house.currency)} to make, a pour cost of {share}.")
    return " ".join(told)


def _unknown(ingredient: Ingredient) -> list[Block]:
    lacking = [word for key, word in KEYS.items() if getattr(ingredient, key) is None]
    return [Note(f"Unknown, and answered as unknown: {joined(lacking)}.", "muted")] if lacking else []


def _poured_in(name: str, book: Book) -> list[Block]:
    """The drinks that pour it, each with its pour cost."""
    users = [drink for drink in book.drinks.values() if drink.pour_of(name) or name in drink.garnish]
    costs = ((drink, cost(drink, book).pour_cost) for drink in users)
    rows = tuple(Row(drink.name, (percent_figure(None if share is None else share * 100),)) for drink, share in costs)
    return [Table(rows, ("", "pour cost"), "Drinks that it goes into")] if rows else []


def _blocks_of(reply: Reply) -> tuple[Block, ...]:
    return reply.card.blocks if reply.card else ()
