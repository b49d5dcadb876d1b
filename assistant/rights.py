"""What is the manager's alone, once a PIN is set, and what only where the house says so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.answers.base import Answer, Change, FloorTest, Introduced, KeepDrink, Marked, SetPrice, Sold, Supplied
from grammar.command import Command, Intent

COSTS, STOCK, RIFFS = "costs", "stock", "riffs"  # what `pin_also_for` of house.toml may name
PRICES, BOOK, SALES, EXPORTS = "prices", "book", "sales", "exports"  # the manager's in every house
ALWAYS = frozenset({PRICES, BOOK, SALES, EXPORTS})

ASKED: Mapping[Intent, str] = {
    Intent.COST: COSTS,
    Intent.PRICE_FOR_TARGET: COSTS,
    Intent.WHAT_IF_PRICE: COSTS,
    Intent.TRAIL: COSTS,  # it tells prices before and after
    Intent.SET_PRICE: PRICES,
}
RANKED_COSTS = frozenset({"cost", "pour cost", "margin"})  # a menu price is everybody's
CHANGED: Mapping[str, str] = {
    "price": PRICES,
    "supplied": PRICES,
    "sold": SALES,
    "drink": RIFFS,
}  # by kind in the trail
EVERYBODYS = frozenset({"mark", "test", "person"})  # kinds that nobody is asked a PIN for


@dataclass(frozen=True)
class Rights:
    """What one who asks may do here."""

    is_manager: bool = False  # has typed the PIN on this device
    has_pin: bool = False  # the house has one
    also: frozenset[str] = frozenset()  # the house's `pin_also_for`

    def may(self, subject: str) -> bool:
        """Whether this is theirs; what a house keeps for the manager and has no PIN for yet is nobody's."""
        if self.is_manager:
            return True
        return subject not in self.also and not (subject in ALWAYS and (self.has_pin or self.also))

    def may_ask(self, command: Command) -> bool:
        """Whether this may be asked or done, as far as the words tell."""
        if command.intent is Intent.COMPARE and command.slots.get("part") == "cost":
            return self.may(COSTS)
        if command.intent is Intent.RANK and command.slots.get("part") in RANKED_COSTS:
            return self.may(COSTS)
        return command.intent not in ASKED or self.may(ASKED[command.intent])

    def may_undo(self, kind: str) -> bool:
        """Whether a change of this kind (as the trail calls it) may be taken back."""
        return kind in EVERYBODYS or self.may(CHANGED.get(kind, STOCK))

    def may_make(self, answer: Answer) -> bool:
        """Whether the changes that an answer would make may be made."""
        changes = (answer.change, *answer.also) if answer.change else ()
        return all(subject is None or self.may(subject) for subject in map(_subject, changes))

    @property
    def sees_costs(self) -> bool:
        """Whether costs may stand beside other things in an answer."""
        return self.may(COSTS)


def _subject(change: Change) -> str | None:
    """What a change is one of; None for what is everybody's."""
    match change:
        case SetPrice() | Supplied():
            return PRICES
        case Sold():
            return SALES
        case KeepDrink():
            return RIFFS
        case Marked() | FloorTest() | Introduced():
            return None
    return STOCK
