"""What is said of riffs: RIFF. One slot swapped and the drink brought into balance; three ideas; a name to keep."""

from __future__ import annotations

import string
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from assistant.answers.base import Answer, Handler, KeepDrink, Scene
from assistant.answers.differences import (
    NOTHING,
    allergen_warnings,
    allergens_dropped,
    difference_words,
    side_by_side,
    unknown_differences,
)
from assistant.answers.safety import caution_lines
from assistant.answers.speech import amount, article, capital, joined, pour, sentence
from assistant.messages import Block, Card, Choice, Note, Question, Reply, Row, Table
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book, Drink, Pour
from recipes.rebalance import Moved
from recipes.riffs import TOO_FAR, Offer, Riff, best_swaps, main_slots, riff, slot_for, slot_of
from recipes.spec import written

IDEAS = 3  # offered at once
AS_NEAR = "That is as near to the old balance as the jigger brings it."
KEEP = "To keep it, say: call it, and a name."


def riff_answer(command: Command, scene: Scene) -> Answer:
    """'Swap the base for aged rum', 'riff on the gimlet with what we have', 'call it Harbour Smoke'."""
    slots = command.slots
    if "text" in slots and "ingredient" not in slots:
        return _kept(str(slots["text"]), scene)
    drink = scene.book.drinks[str(slots["drink"])]
    going = str(slots.get("ingredient_2") or slots.get("role") or "")
    went = slot_of(drink, going) if going else None
    if going and went is None:
        return _no_such_slot(drink, going, slots, scene)
    if "ingredient" not in slots:
        return _ideas(drink, went, scene)
    coming = str(slots["ingredient"])
    if drink.pour_of(coming) is not None:
        return Answer(Reply(f"The {drink.name} already pours {coming}. Name something else to put in."), scene.focus)
    went = went or slot_for(drink, coming, scene.book)
    return _swapped(drink, went, coming, scene) if went else _which_slot(drink, coming, scene)


# One swap


def _swapped(drink: Drink, went: Pour, coming: str, scene: Scene) -> Answer:
    found = riff(drink, went, coming, scene.book)
    change, name = found.sides.change, found.drink.name
    words = difference_words(change, scene.book.house, scene.costs_shown)
    said = [
        f"{capital(coming)} is out tonight, but for when it is back:" if coming in scene.out else "",
        *allergen_warnings(change, name),
        f"{name}: {_in_and_out(found)}.",
        _moved(found),
        _aimed(found, scene.book),
        f"{sentence(joined(words) if words else NOTHING)}",
        unknown_differences(change, scene.costs_shown),
        AS_NEAR if found.distance > TOO_FAR and not found.as_known else "",
        *allergens_dropped(change, name),
        _known(found),
        "" if found.as_known else KEEP,
    ]
    reply = Reply(" ".join(part for part in said if part), _card(found, scene), caution_lines(found.drink, scene.book))
    extra = {**scene.focus.extra, "riff": found.drink}
    return Answer(reply, replace(scene.focus, drink=drink.name, ingredient=coming, extra=extra))


def _in_and_out(found: Riff) -> str:
    """'two ounces mezcal for the tequila'; both amounts where they differ."""
    went, came = found.went, found.came
    old = f"the {went.ingredient}" if went.amount == came.amount else pour(went.amount, went.ingredient)
    return f"{pour(came.amount, came.ingredient)} for {old}"


def _moved(found: Riff) -> str:
    """'To hold the balance, lime juice goes up to one ounce.'"""
    moved = [move for move in found.moved if move.ingredient != found.came.ingredient]
    said = [f"{move.ingredient} goes {_way(move)} to {amount(move.after)}" for move in moved]
    return f"{capital(_why(found))}, {joined(said)}." if said else ""


def _why(found: Riff) -> str:
    """What amounts moved for."""
    return f"as the {found.known_as} has it" if found.as_known else "to hold the balance"


def _known(found: Riff) -> str:
    """What the book has of the same things."""
    if found.as_known:
        return f"That is the {found.known_as}, poured as the book has it."
    return f"The {found.known_as} in the book is made of the same." if found.known_as else ""


def _aimed(found: Riff, book: Book) -> str:
    if found.family is None:
        return ""
    title = article(book.families[found.family].title)
    return f"That is no longer near the old balance, so it is brought to that of {title}."


def _way(move: Moved) -> str:
    return "up" if move.after.number > move.before.number else "down"


def _card(found: Riff, scene: Scene) -> Card:
    names = (found.sides.first.name, "Riff")
    moved = [
        Note(f"{capital(move.ingredient)}: {written(move.before)} to {written(move.after)}, {_why(found)}.")
        for move in found.moved
    ]
    blocks: list[Block] = [*side_by_side(found.sides, scene.book.house, names, scene.costs_shown), *moved]
    blocks += [Note(_known(found))] if found.known_as else []
    facts = (found.drink.note, found.drink.glass, found.drink.method.value)
    return Card("riff", found.drink.name, facts, tuple(blocks))


# Ideas


def _ideas(drink: Drink, went: Pour | None, scene: Scene) -> Answer:
    """The best swaps from what is in: one for each of the main slots, or three for the slot that was named."""
    slots = (went,) if went else main_slots(drink)
    offers = best_swaps(drink, scene.book, scene.out, slots)
    best = _in_turn([[o for o in offers if o.went is slot and o.is_worth_offering] for slot in slots])[:IDEAS]
    if not best:
        where = f"for the {went.ingredient} " if went else ""
        said = f"Nothing on the shelf would do {where}in the {drink.name} without making another drink of it."
        return Answer(Reply(f"{said} Name something to put in."), scene.focus)
    say = f"For a riff on the {drink.name} from what we have: {_listed(best, went)}. Which one?"
    choices = tuple(Choice(offer.coming, _command(drink, offer.coming, offer.went.ingredient)) for offer in best)
    card = Card("riff", f"Riffs on the {drink.name}", blocks=(_ideas_table(drink, best, scene),))
    return Answer(
        Reply(say, card, caution_lines(drink, scene.book), asks=Question("Which one?", choices)),
        replace(scene.focus, drink=drink.name),
    )


def _listed(offers: Sequence[Offer], went: Pour | None) -> str:
    if went:
        return f"{joined([offer.coming for offer in offers], 'or')} for the {went.ingredient}"
    return joined([f"{offer.coming} for the {offer.went.ingredient}" for offer in offers], "or")


def _in_turn(by_slot: Sequence[Sequence[Offer]]) -> list[Offer]:
    """The best of every slot, then the second best of every slot; nothing is offered twice."""
    found: dict[str, Offer] = {}
    for place in range(IDEAS):
        for offers in by_slot:
            if place < len(offers):
                found.setdefault(offers[place].coming, offers[place])
    return list(found.values())


def _ideas_table(drink: Drink, offers: Iterable[Offer], scene: Scene) -> Table:
    rows = []
    for offer in offers:
        change = riff(drink, offer.went, offer.coming, scene.book).sides.change
        warnings = allergen_warnings(change, offer.coming)
        words = difference_words(change, scene.book.house, scene.costs_shown)
        rows.append(
            Row(
                capital(offer.coming),
                (offer.went.ingredient, joined(words) if words else NOTHING),
                " ".join(warnings),
                "warn" if warnings else "plain",
            )
        )
    return Table(tuple(rows), ("In", "Out", "What changes"), "From what we have")


# Which slot


def _which_slot(drink: Drink, coming: str, scene: Scene) -> Answer:
    question = f"What should {coming} replace in the {drink.name}: {joined(_poured(drink), 'or')}?"
    return _asked(question, question, drink, coming, scene)


def _no_such_slot(drink: Drink, going: str, slots: Mapping[str, SlotValue], scene: Scene) -> Answer:
    said = f"There is no {going} in the {drink.name}. It pours {joined(_poured(drink))}."
    if "ingredient" not in slots:
        return Answer(Reply(f"{said} Which of them should go?"), replace(scene.focus, drink=drink.name))
    coming = str(slots["ingredient"])
    question = f"What should {coming} replace?"
    return _asked(f"{said} {question}", question, drink, coming, scene)


def _asked(say: str, question: str, drink: Drink, coming: str, scene: Scene) -> Answer:
    choices = tuple(Choice(name, _command(drink, coming, name)) for name in _poured(drink))
    focus = replace(scene.focus, drink=drink.name, ingredient=coming)
    return Answer(Reply(say, asks=Question(question, choices)), focus)


def _poured(drink: Drink) -> list[str]:
    return list(dict.fromkeys(pour.ingredient for pour in drink.pours))


def _command(drink: Drink, coming: str, going: str) -> Command:
    return Command(Intent.RIFF, {"drink": drink.name, "ingredient": coming, "ingredient_2": going})


# Keeping


def _kept(text: str, scene: Scene) -> Answer:
    """A name for the riff that was just made: it goes into the book, and can be undone."""
    found = scene.focus.extra.get("riff")
    if not isinstance(found, Drink):
        say = "There is no riff to name. Make one first, for example: riff on the Daiquiri."
        return Answer(Reply(say), scene.focus)
    name = string.capwords(text)
    taken = next((known for known in scene.book.drinks if _bare(known) == _bare(name)), None)
    if taken is not None:
        return Answer(Reply(f"The book already has a drink called {taken}. Call it something else."), scene.focus)
    drink = replace(found, name=name)
    say = f"Kept as {name}: {found.note}. Say undo to take it out of the book again."
    card = Card("riff", name, (found.note, drink.glass, drink.method.value), (_spec(drink),))
    extra = {key: value for key, value in scene.focus.extra.items() if key != "riff"}
    focus = replace(scene.focus, drink=name, other=scene.focus.drink, count=1, step=None, without=(), extra=extra)
    return Answer(Reply(say, card, caution_lines(drink, scene.book)), focus, KeepDrink(drink))


def _bare(name: str) -> str:
    """A name as it is told apart: without regard to case, and to 'the' before it."""
    return name.casefold().removeprefix("the ")


def _spec(drink: Drink) -> Table:
    rows = tuple(Row(line.ingredient, (written(line.amount),), line.note) for line in drink.pours)
    return Table(rows, title="Poured")


HANDLERS: dict[Intent, Handler] = {Intent.RIFF: riff_answer}
