"""What a bar says it wants ready at opening, and what it hears when it asks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.answers.base import Scene, SetPar
from assistant.answers.pars import NONE_YET, asked, set_par
from assistant.messages import Card, Focus, Row, Table
from assistant.services import Services
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book
from recipes.units import Quantity, quantity

TWO_LITRES = {"ingredient": "lime juice", "amount": Decimal(2), "unit": "l"}


@pytest.fixture
def scene(tiny_book: Book) -> Scene:
    """A bar whose book has no pars."""
    plain = {name: replace(one, par=None) for name, one in tiny_book.ingredients.items()}
    return Scene(replace(tiny_book, ingredients=plain), frozenset(), Focus())


def setting(**slots: SlotValue) -> Command:
    """What somebody wants ready."""
    return Command(Intent.SET_PAR, slots)


@pytest.mark.parametrize(
    ("slots", "par", "said"),
    [
        (TWO_LITRES, quantity(2000, "milliliter"), "The par for lime juice is now two litres. There was none."),
        ({"ingredient": "lime wheel", "count": 30}, quantity(30, "piece"), "The par for lime wheel is now thirty."),
    ],
)
def test_a_par_is_noted_and_read_back(slots: dict[str, SlotValue], par: Quantity, said: str, scene: Scene) -> None:
    """In the measure that prep reckons with."""
    answer = set_par(setting(**slots), scene)
    assert answer.reply.say.startswith(said)
    assert answer.change == SetPar(str(slots["ingredient"]), par)


@pytest.mark.parametrize(
    ("slots", "said"),
    [
        ({"ingredient": "gin", "amount": Decimal(2), "unit": "l"}, "Gin is not made, cut or pressed here"),
        (
            {"ingredient": "lime juice", "amount": Decimal(2), "unit": "part"},
            "That does not tell me how much lime juice",
        ),
        ({"ingredient": "lime juice", "count": 12}, "That does not tell me how much lime juice"),
        ({"ingredient": "lime juice", "amount": Decimal(0), "unit": "l"}, "That does not tell me how much lime juice"),
        ({"ingredient": "lime juice", "text": "book"}, "This bar has no par of its own for lime juice"),
    ],
)
def test_what_is_no_par_changes_nothing(slots: dict[str, SlotValue], said: str, scene: Scene) -> None:
    """A bottle that is bought, an amount that tells nothing: said, and nothing is noted."""
    answer = set_par(setting(**slots), scene)
    assert answer.reply.say.startswith(said)
    assert answer.change is None


def test_what_was_never_set_is_told_as_such(scene: Scene) -> None:
    """Not as zero."""
    assert asked(Command(Intent.PAR, {"ingredient": "lime juice"}), scene).reply.say == (
        "There is no par for lime juice. Say, for example: set the par for lime juice to two litres."
    )
    assert asked(Command(Intent.PAR), scene).reply.say == NONE_YET


@pytest.fixture
def bars(url: str) -> Iterator[tuple[Services, Services]]:
    """Two bars on one book and one database, SQLite's or PostgreSQL's."""
    quay, hill = Services(database_url=url, venue="quay"), Services(database_url=url, venue="hill")
    yield quay, hill
    quay.close()
    hill.close()


def need(services: Services, ingredient: str) -> str:
    """How much of it tonight's prep sheet wants."""
    card = services.ask("prep for one cover", "prep").card
    return next(row.cells[0].text for row in rows(card) if row.label == ingredient)  # type: ignore[union-attr]


def rows(card: Card | None) -> list[Row]:
    """Every row of a card."""
    return [row for block in card.blocks if isinstance(block, Table) for row in block.rows] if card else []


def test_each_bar_has_its_own_par_and_its_prep_keeps_to_it(bars: tuple[Services, Services]) -> None:
    """Set at the quay, read back there, used by its prep sheet, undone; the hill's is the book's all the while."""
    quay, hill = bars
    book = need(hill, "simple syrup")
    assert quay.ask("set the par for simple syrup to nine litres", "bar").undo
    assert quay.ask("what's the par for simple syrup", "bar").say == "The par for simple syrup is nine litres."
    assert (need(quay, "simple syrup"), need(hill, "simple syrup")) == ("9 l", book)
    assert hill.ask("keep at least eight litres of simple syrup", "bar").undo
    assert (need(quay, "simple syrup"), need(hill, "simple syrup")) == ("9 l", "8 l")
    quay.ask("set the par for simple syrup to ten litres", "bar")
    assert quay.ask("undo that", "bar").say == "Undone. The par for simple syrup is nine litres again."
    assert quay.ask("undo that", "bar").say == "Undone. The par for simple syrup is the book's again, if it has one."
    assert (need(quay, "simple syrup"), need(hill, "simple syrup")) == (book, "8 l")


def test_a_bars_own_par_gives_way_to_the_books_again(tmp_path: Path) -> None:
    """'Forget the par for ...': and that can be undone, too."""
    services = Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}")
    try:
        book = need(services, "simple syrup")
        services.ask("set the par for simple syrup to nine litres", "bar")
        own = [row.note for row in rows(services.ask("what are our pars", "bar").card) if row.label == "simple syrup"]
        assert own == ["this bar's own"]
        assert services.ask("forget the par for simple syrup", "bar").undo
        assert need(services, "simple syrup") == book
        services.ask("undo that", "bar")
        assert need(services, "simple syrup") == "9 l"
    finally:
        services.close()
