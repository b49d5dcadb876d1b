"""The book's names as plain data: all this package knows of the book."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Name:
    """One thing that can be named, and the ways to say it."""

    canonical: str  # as the book writes it: what a slot holds
    spoken: tuple[str, ...] = ()  # other wordings ('dry martini' for 'Martini')
    sounds_like: tuple[str, ...] = ()  # respellings in common English words, for names that are not read as written


@dataclass(frozen=True)
class Names:
    """Every name of the book, by kind. The kind is the name of the grammar rule that it fills."""

    drink: tuple[Name, ...] = ()
    ingredient: tuple[Name, ...] = ()
    family: tuple[Name, ...] = ()
    shelf: tuple[Name, ...] = ()
    person: tuple[Name, ...] = ()  # of the house, who have said who they are
