"""The book's names as the grammar takes them: plain data, each name with the ways to say it."""

from __future__ import annotations

from assistant.answers.speech import plural
from grammar.names import Name, Names
from recipes.model import Book

MOST_PEOPLE = 100  # of the house that are known by voice, those who came last: each is one more thing to mishear


def names_of(book: Book, people: tuple[str, ...] = ()) -> Names:
    """Every name that can be said. What fills a slot: a drink's or ingredient's name, a family's or shelf's id."""
    return Names(
        drink=tuple(Name(drink.name, drink.spoken, drink.sounds_like) for drink in book.drinks.values()),
        ingredient=tuple(Name(i.name, i.spoken, i.sounds_like) for i in book.ingredients.values()),
        family=tuple(Name(f.id, _also(f.id, f.title, *f.spoken)) for f in book.families.values()),
        shelf=tuple(
            Name(shelf, _without(shelf, (title, *book.shelf_names.get(shelf, ()))))
            for shelf, title in book.shelves.items()
        ),
        person=tuple(Name(name) for name in people[-MOST_PEOPLE:]),
    )


def _also(name: str, *wordings: str) -> tuple[str, ...]:
    """The wordings, and more than one of each: 'quiz me on daisies'."""
    singular = (name, *wordings)
    return _without(name, (*wordings, *(plural(wording) for wording in singular)))


def _without(name: str, wordings: tuple[str, ...]) -> tuple[str, ...]:
    """The wordings once each, without regard to case, and without the name itself."""
    found = {wording.casefold(): wording for wording in reversed(wordings)}
    found.pop(name.casefold(), None)
    return tuple(reversed(found.values()))
