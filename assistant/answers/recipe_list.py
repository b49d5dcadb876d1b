"""What is said of recipes from elsewhere: which can be taken, and what of the others cannot be read."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.answers.list_lines import TERMINAL, Door
from assistant.answers.speech import capital, counted, some
from assistant.messages import Block, Card, Note, Reply, Row, Table
from assistant.office.recipe_import import Found, Unreadable
from recipes.spec import written

REASONS = {
    "name": "It has no name.",
    "there": "The book has a {0} already.",
    "line": 'I cannot read the line "{0}". Write it like 2 oz gin.',
    "ingredient": "The book has no {0}.",
    "method": "Nothing says whether it is shaken, stirred or built.",
    "glass": "The book has no glass by the name it is served in.",
    "nothing": "It has no ingredients.",
}
CAUTION = "Allergens, strength and cost come from the book's own ingredients. Read the recipe before you pour."
NO_ICE = "nothing is said of ice in the glass, so none is taken"


def recipes_shown(found: Sequence[Found], door: Door = TERMINAL) -> Reply:
    """What can be taken; nothing is changed yet."""
    takeable = [one.name for one in found if one.drink]
    them = "it" if len(takeable) == 1 else "them"
    then = f" {door.take} take {them}." if takeable else ""
    return Reply(f"{_counts(found)}{then}", _card(found))


def recipes_taken(found: Sequence[Found], undo: str) -> Reply:
    """What was taken."""
    names = [one.name for one in found if one.drink]
    return Reply(f"Taken into the book: {some(names)}.{_left_out(found)}", _card(found), undo=undo)


def recipes_not_taken(found: Sequence[Found]) -> Reply:
    """Why nothing was taken."""
    return Reply(f"Nothing was changed. {_counts(found)}", _card(found), understood=False)


def _counts(found: Sequence[Found]) -> str:
    count = sum(one.drink is not None for one in found)
    return f"{capital(counted(count, 'recipe'))} can be taken.{_left_out(found)}"


def _left_out(found: Sequence[Found]) -> str:
    count = sum(one.drink is None for one in found)
    if not count:
        return ""
    verb = "is" if count == 1 else "are"
    return f" {capital(counted(count, 'recipe'))} cannot be read in full and {verb} left out."


def _card(found: Sequence[Found]) -> Card:
    taken = tuple(_taken(one) for one in found if one.drink)
    left = tuple(row for one in found for row in _unreadable(one))
    blocks: list[Block] = [Table(taken, title="Can be taken")] if taken else []
    blocks += [Table(left, title="Left out")] if left else []
    blocks += [Note(CAUTION, "muted")]
    return Card("import_recipes", "Recipes", blocks=tuple(blocks))


def _taken(one: Found) -> Row:
    pours = one.drink.pours if one.drink else ()
    told = ", ".join(f"{written(pour.amount)} {pour.ingredient}" for pour in pours)
    return Row(one.name, (told,), NO_ICE if one.assumed_no_ice else "")


def _unreadable(one: Found) -> list[Row]:
    return [Row(one.name, (_reason(fault),), tone="warn") for fault in one.unreadable]


def _reason(fault: Unreadable) -> str:
    near = f" Near to it: {', '.join(fault.near)}." if fault.near else ""
    return REASONS[fault.what].format(fault.said) + near
