"""Reads families.toml: the shape of a family's entry, its rule, and the faults that only the whole book shows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence, Set
from types import MappingProxyType
from typing import Annotated

from pydantic import Field

from recipes.check import Named, names_said_twice
from recipes.faults import Fault, write_instead
from recipes.model import FamilyRule, Ice, Ingredient, Method, Role, Structure
from recipes.schema import DrinkEntry, Entry, Number, Text
from recipes.shape import Written

_TERMS = "write a list of roles, kinds or ingredient names"
_RANGE = "write the smallest and the largest, as [0.1, 0.4]"


Parts = Annotated[tuple[int, ...], Field(min_length=2, max_length=2)]
Range = Annotated[tuple[Number, ...], Field(min_length=2, max_length=2)]


class FamilyEntry(Entry):
    """One [[family]]."""

    id: Text = Field(description="write a short name, as drinks give it in family")
    title: Text = Field(description="write what people call the family")
    say: tuple[Text, ...] = Field(default=(), description="write a list of other names")
    branch_of: Text | None = Field(default=None, description="write the id of the family it grew from")
    reason: Text = Field(description="write what tells it, in words")
    slots: tuple[Text, ...] = Field(min_length=1, description=_TERMS)
    has: tuple[Text, ...] = Field(default=(), description=_TERMS)
    lacks: tuple[Text, ...] = Field(default=(), description=_TERMS)
    method: tuple[Method, ...] = Field(default=(), description="write a list of: " + ", ".join(Method))
    ice: tuple[Ice, ...] = Field(default=(), description="write a list of: " + ", ".join(Ice))
    share: dict[str, Range] = Field(default={}, description=_RANGE)
    parts: Parts | None = Field(default=None, description="write the fewest and the most, as [3, 3]")
    spread: Number | None = Field(default=None, ge=1, description="write a number from 1 up")


def rule(entry: FamilyEntry) -> FamilyRule:
    """The rule of one entry."""
    return FamilyRule(
        id=entry.id,
        title=entry.title,
        reason=entry.reason,
        when=Structure(
            has=entry.has,
            lacks=entry.lacks,
            methods=frozenset(entry.method),
            ice=frozenset(entry.ice),
            share=MappingProxyType({term: (low, high) for term, (low, high) in entry.share.items()}),
            parts=None if entry.parts is None else (entry.parts[0], entry.parts[1]),
            spread=entry.spread,
        ),
        slots=entry.slots,
        branch_of=entry.branch_of,
        spoken=entry.say,
    )


def family_faults(
    families: Sequence[Written[FamilyEntry]],
    known: Set[str],
    drinks: Iterable[Written[DrinkEntry]],
    shelf: Iterable[Ingredient],
) -> Iterator[Fault]:
    """Families named twice, branches of nothing, terms that no ingredient answers to, and drinks of no such family.

    `known` holds the ids of all families written down, right or wrong, so that one fault does not bring others.
    """
    yield from names_said_twice((Named(w.place, w.entry.id, w.entry.say) for w in families), "family")
    words = known_words(shelf)
    for written in families:
        yield from _faults_of(written, words, known)
    for drink in drinks if known else ():
        yield from _no_such_family(drink, "family", drink.entry.family, known)


def known_words(ingredients: Iterable[Ingredient]) -> frozenset[str]:
    """Every word a rule's term may use: the roles, and the kinds and names of the book's ingredients."""
    kinds_and_names = (word.casefold() for i in ingredients for word in (i.kind, i.name) if word)
    return frozenset(kinds_and_names) | {role.value for role in Role}


def _faults_of(written: Written[FamilyEntry], words: frozenset[str], known: Set[str]) -> Iterator[Fault]:
    entry = written.entry
    yield from _no_such_family(written, "branch_of", entry.branch_of, known)
    for field, terms in (("slots", entry.slots), ("has", entry.has), ("lacks", entry.lacks), ("share", entry.share)):
        for term in terms:
            for word in term.split(" or "):
                if word not in words:
                    mend = write_instead(word, sorted(words), "write a role, a kind or an ingredient of the book")
                    yield written.place.fault(field, f'no ingredient answers to "{word}"', mend, term)


def _no_such_family(
    written: Written[FamilyEntry] | Written[DrinkEntry], field: str, family: str | None, known: Set[str]
) -> Iterator[Fault]:
    if family is not None and family not in known:
        mend = write_instead(family, sorted(known), "add it as a [[family]]")
        yield written.place.fault(field, f'no family is called "{family}"', mend, family)
