"""Follow-ups that say only what is different: 'and the white lady?', 'no, I meant lemon', 'no, put that back'."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from assistant.asking import is_bare
from assistant.filling import ABOUT_ELSE, NEEDS_DRINK
from assistant.messages import Focus
from assistant.tonight import Matcher
from grammar.clean import phrase
from grammar.command import Ambiguous, Command, Intent, Meaning, NotUnderstood
from recipes.model import Book

OF_A_DRINK = frozenset(
    {
        Intent.SPEC,
        Intent.AMOUNT,
        Intent.BUILD,
        Intent.COST,
        Intent.BALANCE,
        Intent.FAMILY,
        Intent.CONTAINS,
        Intent.TASTE,
    }
)  # 'and the white lady?' asks these again
IN_THE_DRINK = frozenset({Intent.AMOUNT, Intent.WITHOUT, Intent.SUBSTITUTE})  # about what the drink talked of has
MORE = (("and",), ("what", "about"), ("how", "about"))
BARE_NAMES = {Intent.SPEC: "drink", Intent.AMOUNT: "ingredient", Intent.FAMILY: "family"}  # what a name alone means
NUMBERS = ("count", "percent", "money", "amount")  # slots that a bare number can mean
PUT_BACK = frozenset({("put", "that", "back"), ("put", "it", "back")})
_MEANT = re.compile(r"\s*(?:(?:no|nope|sorry)\b[\s,.;:]*)*i (?:meant|mean|said)\b[\s,:]*", re.IGNORECASE)
_NOT_THAT = re.compile(r"\s*(?:no|nope)\b[\s,.;:]+(?:sorry\b[\s,]*)?", re.IGNORECASE)


@dataclass(frozen=True)
class FollowUpEar:
    """A matcher in a talk that goes on: what is left unsaid is taken from what was asked last."""

    matcher: Matcher
    focus: Focus
    book: Book
    asked: Command | None = None  # the last command that was answered, as it was said
    changed: bool = False  # whether its answer changed something

    def understand(self, text: str) -> Meaning:
        """What was meant, with the last command's words where the text leaves them out."""
        meaning = self.matcher.understand(text)
        if isinstance(meaning, Ambiguous):
            meaning = _in_the_drink(meaning, self.focus, self.book)
        if self.changed and phrase(_without(_NOT_THAT, text)) in PUT_BACK:
            return Command(Intent.UNDO)
        if isinstance(meaning, Command) and self.asked is not None and _asks_more(text):
            return _of_another(meaning, self.asked)
        return self._corrected(text, meaning)

    def _corrected(self, text: str, meaning: Meaning) -> Meaning:
        """'No, I meant the gimlet': the last command about the gimlet; other words in their own right."""
        meant = _without(_MEANT, text)
        if meant == text and not _is_sure(meaning):
            meant = _without(_NOT_THAT, text)
            if isinstance(meaning, Command):  # 'no egg', misspelled, is not 'egg'
                rest = self.matcher.understand(meant)
                return rest if isinstance(rest, Command) and _is_sure(rest) and not is_bare(rest, meant) else meaning
        if meant == text:
            return meaning
        other = self.matcher.understand(meant)
        if isinstance(other, Command) and self.asked is not None and is_bare(other, meant):
            return _put_right(self.asked, other)
        return meaning if isinstance(other, NotUnderstood) else other


def _is_sure(meaning: Meaning) -> bool:
    return isinstance(meaning, Command) and meaning.how == "exact"


def takes_back(text: str) -> bool:
    """Whether a text begins by taking back what was said before: 'no, I meant ...'."""
    return _without(_MEANT, text) != text or _without(_NOT_THAT, text) != text


def _without(head: re.Pattern[str], text: str) -> str:
    """The text without such a beginning, where more follows it."""
    rest = head.sub("", text, count=1) if head.match(text) else text
    return rest if rest.strip() else text


def _asks_more(text: str) -> bool:
    words = phrase(text)
    return any(words[: len(head)] == head for head in MORE)


def _in_the_drink(unclear: Ambiguous, focus: Focus, book: Book) -> Command | Ambiguous:
    """'How much vermouth?', asked of a drink that has one of them, means that one."""
    if unclear.differs != "ingredient" or any(choice.intent not in IN_THE_DRINK for choice in unclear.choices):
        return unclear
    drink = book.drinks.get(str(unclear.choices[0].slots.get("drink", focus.drink)))
    if drink is None:
        return unclear
    fitting = [choice for choice in unclear.choices if drink.pour_of(str(choice.slots["ingredient"])) is not None]
    return fitting[0] if len(fitting) == 1 else unclear


def _of_another(named: Command, asked: Command) -> Command:
    """What was asked last, now of the drink that is named; a whole spec stays a spec.

    A part that was asked of a drink by the way ('and the garnish?') is not asked of the next.
    """
    if named.intent is not Intent.SPEC or set(named.slots) != {"drink"} or asked.intent not in OF_A_DRINK:
        return named
    if asked.intent is Intent.SPEC and not {"part", "drink"} <= set(asked.slots):
        return named
    if "drink" not in asked.slots and asked.intent in ABOUT_ELSE and set(asked.slots) & ABOUT_ELSE[asked.intent]:
        return named
    return replace(named, intent=asked.intent, slots={**asked.slots, **named.slots}, spans={})


def _put_right(asked: Command, other: Command) -> Command:
    """The last command with the name or the number that was meant; the other one when it has no place there."""
    named = BARE_NAMES.get(other.intent)
    places = NUMBERS if other.intent is Intent.SCALE else (named,)
    slot = next((slot for slot in places if slot in asked.slots), None)
    if slot is None and named == "drink" and asked.intent in NEEDS_DRINK:
        slot = "drink"
    if slot is None or len(other.slots) != 1:
        return other
    value = next(iter(other.slots.values()))
    if slot in NUMBERS and slot != "count":
        value = Decimal(value)
    return replace(other, intent=asked.intent, slots={**asked.slots, slot: value}, spans={})
