"""Says random sentences of the phrases, and knows what each means: what a parse must come back to."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass, field

from grammar import rules
from grammar.numbers import is_number_tag
from grammar.phrasebook import Phrasebook
from grammar.rules import Choice, Expansion, Maybe, Ref, Repeat, Tagged, Word

SAID_MORE_THAN_NOT = 0.4  # how often what may be left out is said


@dataclass(frozen=True)
class Utterance:
    """Words, and the slots they fill; a slot of None has a value that this speaker does not work out."""

    words: tuple[str, ...]
    slots: Mapping[str, str | None] = field(default_factory=dict)
    name: str | None = None


class Speaker:
    """Walks the phrases by chance."""

    def __init__(self, book: Phrasebook, seed: int) -> None:
        self._book = book
        self._chance = random.Random(seed)

    def say(self, item: Expansion) -> Utterance:
        """One way to say it."""
        match item:
            case Word():
                return Utterance(item.words)
            case Ref(name):
                return self._rule(name)
            case Choice():
                return self.say(self._chance.choice([option for option, weight in item.weighted() if weight > 0]))
            case Maybe(inner):
                return self.say(inner) if self._chance.random() < SAID_MORE_THAN_NOT else Utterance(())
            case Repeat(inner, least):
                return self._joined([inner] * self._chance.randint(least, 2))
            case rules.Sequence(items):
                return self._joined(list(items))
            case Tagged(inner, tag):
                return self._tagged(self.say(inner), tag)

    def _rule(self, name: str) -> Utterance:
        if not name.startswith("names."):
            return self.say(self._book.grammar.rules[name].body)
        rule = name.removeprefix("names.")
        known = [
            w for w in self._book.wordings.all if w.kind == rule.removesuffix("s") and w.plural == (rule == "drinks")
        ]
        wording = self._chance.choice(known)
        return Utterance(wording.words, {}, wording.canonical)

    def _joined(self, items: list[Expansion]) -> Utterance:
        said = [self.say(item) for item in items]
        slots: dict[str, str | None] = {}
        for one in said:
            slots = {**one.slots, **slots}
        return Utterance(tuple(word for one in said for word in one.words), slots, said[-1].name if said else None)

    @staticmethod
    def _tagged(said: Utterance, tag: str) -> Utterance:
        slot, equals, value = (part.strip() for part in tag.partition("="))
        if is_number_tag(tag):
            return said
        if slot.startswith("!"):
            return Utterance(said.words, {slot[1:]: None})
        filled = value if equals else None if slot == "text" else said.name
        return Utterance(said.words, {slot: filled, **said.slots}, said.name)
