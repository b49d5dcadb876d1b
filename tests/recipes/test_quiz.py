"""Quiz questions: in a fixed order that meets everything, and what is still missed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest

from recipes.model import Book, FamilyRule, Method, Structure
from recipes.quiz import (
    Kind,
    Mark,
    Question,
    Standing,
    is_of,
    latest,
    pool,
    question,
    right_names,
    standings,
    still_asked,
)


@pytest.fixture
def book(tiny_book: Book) -> Book:
    """The small book with two families, one a branch of the other, and a shelf of one drink."""
    sour = FamilyRule("sour", "Sour", "a base, citrus and sugar", Structure(has=("acid",)), ("base", "acid"))
    daisy = FamilyRule("daisy", "Daisy", "a sweet liqueur", Structure(has=("egg",)), ("base",), branch_of="sour")
    given = {"Daiquiri": "sour", "Clover Club": "daisy"}
    drinks = {
        name: replace(drink, family=given.get(name), shelf="house" if name == "Southside" else drink.shelf)
        for name, drink in tiny_book.drinks.items()
    }
    return replace(tiny_book, drinks=drinks, families={"daisy": daisy, "sour": sour})


class TestPool:
    """'Quiz me on the sours.'"""

    def test_all_drinks_by_default(self, book: Book) -> None:
        """With nothing named, the whole book is asked."""
        assert len(pool(book)) == len(book.drinks)

    def test_a_shelf_alone(self, book: Book) -> None:
        """A shelf is asked by its own drinks."""
        assert [drink.name for drink in pool(book, shelf="house")] == ["Southside"]

    def test_a_family_with_its_branches(self, book: Book) -> None:
        """A family takes in what handbooks give it, what its structure shows, and its branches."""
        sours = [drink.name for drink in pool(book, family="sour")]
        assert sours == ["Daiquiri", "Clover Club", "Aviation", "Southside", "Gin Rickey"]
        assert [drink.name for drink in pool(book, family="daisy")] == ["Clover Club"]


class TestQuestion:
    """Which question comes when."""

    @pytest.mark.parametrize("count", range(1, 8))
    def test_every_drink_comes_once_a_lap(self, book: Book, count: int) -> None:
        """As many turns as there are drinks ask each of them once, whatever the number."""
        drinks = pool(book)[:count]
        for lap in range(3):
            asked = [question(drinks, book, lap * count + place).drink for place in range(count)]
            assert sorted(asked) == sorted(drink.name for drink in drinks)

    @pytest.mark.parametrize("count", range(1, 8))
    def test_every_kind_comes_in_as_many_laps(self, book: Book, count: int) -> None:
        """Over as many laps as there are kinds each drink is asked everything that can be asked about it."""
        drinks = pool(book)[:count]
        asked = {(q.drink, q.kind) for turn in range(len(Kind) * count) for q in [question(drinks, book, turn)]}
        assert {kind for name, kind in asked if name == drinks[0].name} >= {Kind.BUILD, Kind.METHOD, Kind.GLASS}
        assert ("Clover Club", Kind.MISSING) in asked or count < 4

    def test_the_same_turn_asks_the_same(self, book: Book) -> None:
        """Nothing is left to chance."""
        assert question(pool(book), book, 11) == question(pool(book), book, 11)

    def test_neighbours_on_the_shelf_do_not_follow_each_other(self, book: Book) -> None:
        """The order is not the order of the shelf."""
        names = list(book.drinks)
        asked = [names.index(question(pool(book), book, turn).drink) for turn in range(7)]
        assert all(abs(one - two) > 1 for one, two in pairwise(asked))

    @pytest.mark.parametrize(
        ("drink", "kind"),
        [
            ("Daiquiri", Kind.GARNISH),  # has none
            ("Manhattan", Kind.FAMILY),  # of no family that this book has
            ("Gimlet", Kind.MISSING),  # of two pours, neither can be hidden
            ("Manhattan", Kind.CHANGE),  # like no other drink
            ("Aviation", Kind.ALLERGENS),  # nobody wrote down those of its violet liqueur
        ],
    )
    def test_nothing_is_asked_that_has_no_answer(self, book: Book, drink: str, kind: Kind) -> None:
        """A kind that this drink has no answer for gives way to the build."""
        assert question([book.drinks[drink]], book, 0, [kind]) == Question(Kind.BUILD, drink)

    def test_what_is_topped_up_is_not_asked_in_ounces(self, book: Book) -> None:
        """'To top' is no amount to learn."""
        rickey = [book.drinks["Gin Rickey"]]
        asked = {question(rickey, book, turn, [Kind.AMOUNT]).ingredient for turn in range(6)}
        assert asked == {"gin", "lime juice"}

    def test_what_is_built_like_another_is_not_asked_by_its_build(self, book: Book) -> None:
        """Nor is a drink whose name is in a pour: there must be one answer, and it must not be read out."""
        daiquiri = book.drinks["Daiquiri"]
        twin = book.with_drinks([replace(daiquiri, name="Twin")])
        named = book.with_drinks([replace(daiquiri, name="Lime Juice", pours=daiquiri.pours[:2])])
        assert question([daiquiri], book, 0, [Kind.NAME]) == Question(Kind.NAME, "Daiquiri")
        assert question([daiquiri], twin, 0, [Kind.NAME]).kind is Kind.BUILD
        assert question([named.drinks["Lime Juice"]], named, 0, [Kind.NAME]).kind is Kind.BUILD

    def test_what_changes_is_asked_from_each_drink_that_is_near(self, book: Book) -> None:
        """Turn by turn another one; a drink that left the book is not asked about."""
        more = book.with_drinks([replace(book.drinks["Daiquiri"], name="Thrown", method=Method.THROWN)])
        drink = more.drinks["Southside"]
        asked = {question([drink], more, turn, [Kind.CHANGE]) for turn in range(9)}
        assert {each.other for each in asked} == {"Daiquiri", "Thrown"}
        assert all(still_asked(each, drink, more) and is_of(each, more) for each in asked)
        gone = Question(Kind.CHANGE, "Southside", other="Thrown")
        assert not still_asked(gone, book.drinks["Southside"], book)
        assert not is_of(gone, book)

    def test_no_drinks_no_question(self, book: Book) -> None:
        """An empty shelf is an error of the caller."""
        with pytest.raises(ValueError, match="no drinks"):
            question([], book, 0)


@pytest.mark.parametrize(
    ("asked", "right"),
    [
        (Question(Kind.METHOD, "Daiquiri"), ("shaken",)),
        (Question(Kind.GLASS, "Gin Rickey"), ("highball",)),
        (Question(Kind.GARNISH, "Gimlet"), ("lime wheel",)),
        (Question(Kind.FAMILY, "Clover Club"), ("daisy",)),
        (Question(Kind.FAMILY, "Aviation"), ("sour",)),
        (Question(Kind.MISSING, "Daiquiri", "lime juice"), ("lime juice",)),
        (Question(Kind.BUILD, "Gimlet"), ("gin", "lime cordial")),
        (Question(Kind.NAME, "Gimlet"), ("Gimlet",)),
        (Question(Kind.ALLERGENS, "Clover Club"), ("egg",)),
        (Question(Kind.ALLERGENS, "Gimlet"), ("none",)),
        (Question(Kind.CHANGE, "Southside", other="Daiquiri"), ("white rum", "gin", "mint")),
    ],
)
def test_the_right_answer_is_the_books(book: Book, asked: Question, right: tuple[str, ...]) -> None:
    """What counts as right is what the book says."""
    assert right_names(asked, book) == right


@pytest.mark.parametrize(
    ("asked", "subject"),
    [
        (Question(Kind.BUILD, "Gimlet"), "build"),
        (Question(Kind.AMOUNT, "Gimlet", "gin"), "amount of gin"),
        (Question(Kind.MISSING, "Gimlet", "cream of coconut"), "missing of cream of coconut"),
        (Question(Kind.CHANGE, "Gimlet", other="Widow's Kiss from the Port"), "change from Widow's Kiss from the Port"),
        (Question(Kind.ALLERGENS, "Gimlet"), "allergens"),
        (Question(Kind.NAME, "Gimlet"), "name"),
    ],
)
def test_a_question_is_found_again_by_its_subject(asked: Question, subject: str) -> None:
    """Under which its marks are kept."""
    assert asked.subject == subject
    assert Question.of("Gimlet", subject) == asked


class TestStandings:
    """'What do I still miss?'"""

    MARKS = (
        Mark("Gimlet", "build", 0, 6),
        Mark("Daiquiri", "build", 6, 9),
        Mark("Gimlet", "glass", 1, 1),
        Mark("Gimlet", "build", 5, 6),
        Mark("Daiquiri", "amount of lime juice", 0, 3),
        Mark("Daiquiri", "amount of white rum", 3, 3),
    )

    def test_the_latest_answer_counts(self) -> None:
        """A build that was learnt is no longer missed; another amount of the same drink is another question."""
        assert Mark("Gimlet", "build", 0, 6) not in latest(self.MARKS)
        assert len(latest(self.MARKS)) == 5

    def test_the_least_known_comes_first(self) -> None:
        """By drink, worst first, with the points of the latest answers."""
        assert standings(self.MARKS, lambda mark: mark.drink) == (
            Standing("Daiquiri", 9, 15),
            Standing("Gimlet", 6, 7),
        )

    def test_a_group_of_nothing_is_left_out(self) -> None:
        """A drink of no family does not make a family."""
        by_family = standings(self.MARKS, lambda mark: "sour" if mark.drink == "Daiquiri" else None)
        assert by_family == (Standing("sour", 9, 15),)
        assert by_family[0].share == Decimal("0.6")
