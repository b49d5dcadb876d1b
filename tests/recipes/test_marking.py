"""Marking: partial credit by stated rules."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from recipes.marking import Line, Recited, Verdict, mark
from recipes.model import Book, Drink, FamilyRule, Pour, Role, Structure
from recipes.quiz import Kind, Question
from recipes.units import Amount, Unit


def amount(text: str) -> Amount | None:
    """'0.75 oz' as an amount; nothing as None."""
    if not text:
        return None
    number, unit = text.split()
    return Amount(Decimal(number), Unit(unit))


def said(*lines: str) -> list[Recited]:
    """'2 oz gin' or 'gin' as recited."""
    recited = []
    for line in lines:
        words = line.split()
        counted = words[0].replace(".", "").isdigit()
        recited.append(Recited(" ".join(words[2:]), amount(" ".join(words[:2]))) if counted else Recited(line))
    return recited


class TestBuild:
    """A whole drink recited."""

    BUILD = Question(Kind.BUILD, "Daiquiri")  # 2 oz white rum, 0.75 oz lime juice, 0.75 oz sugar syrup

    @pytest.mark.parametrize(
        ("lines", "points", "verdicts"),
        [
            (("2 oz white rum", "0.75 oz lime juice", "0.75 oz sugar syrup"), 9, "exact exact exact"),
            (("0.75 oz sugar syrup", "0.75 oz lime juice", "2 oz white rum"), 9, "exact exact exact"),
            (("60 ml white rum", "22.5 ml lime juice", "22.5 ml sugar syrup"), 9, "exact exact exact"),
            (("2 oz white rum", "1 oz lime juice", "0.75 oz sugar syrup"), 8, "exact close exact"),
            (("2 oz white rum", "0.5 oz lime juice", "0.75 oz sugar syrup"), 8, "exact close exact"),
            (("2 oz white rum", "1.25 oz lime juice", "0.75 oz sugar syrup"), 7, "exact wrong exact"),
            (("2 oz white rum", "lime juice", "0.75 oz sugar syrup"), 7, "exact unsaid exact"),
            (("2 oz white rum", "0.75 oz lime juice"), 6, "exact exact left-out"),
            (("2 oz gin", "0.75 oz lime juice", "0.75 oz sugar syrup"), 5, "left-out exact exact added"),
            (("2 oz gin",), 0, "left-out left-out left-out added"),
            ((), 0, "left-out left-out left-out"),
            (
                ("2 oz white rum", "1.5 oz white rum", "0.75 oz lime juice", "0.75 oz sugar syrup"),
                9,
                "exact exact exact",
            ),
        ],
    )
    def test_each_line_is_marked(self, tiny_book: Book, lines: tuple[str, ...], points: int, verdicts: str) -> None:
        """Three for exact, two for close, one for the name, none for left out, one off for what is not in it."""
        marking = mark(self.BUILD, said(*lines), tiny_book)
        assert " ".join(line.verdict.value.replace(" ", "-") for line in marking.lines) == verdicts
        assert (marking.points, marking.out_of) == (points, 9)

    def test_a_line_tells_what_was_expected_and_said(self, tiny_book: Book) -> None:
        """The reason for a mark can be read from it."""
        marking = mark(self.BUILD, said("2 oz white rum", "1 oz lime juice", "0.75 oz sugar syrup"), tiny_book)
        assert marking.lines[1] == Line("lime juice", Verdict.CLOSE, amount("0.75 oz"), amount("1 oz"), 2, 3)

    def test_an_ingredient_poured_twice_is_wanted_twice(self, tiny_book: Book) -> None:
        """A float is a line of its own."""
        daiquiri = tiny_book.drinks["Daiquiri"]
        twice = replace(
            daiquiri, pours=(*daiquiri.pours, Pour("white rum", Amount(Decimal("0.5"), Unit.OUNCE), Role.BASE))
        )
        book = tiny_book.with_drinks([twice])
        lines = ("2 oz white rum", "0.75 oz lime juice", "0.75 oz sugar syrup")
        assert mark(self.BUILD, said(*lines), book).points == 9
        assert mark(self.BUILD, said(*lines, "0.5 oz white rum"), book).points == 12


class TestAmount:
    """One amount asked."""

    @pytest.mark.parametrize(
        ("drink", "ingredient", "answer", "verdict", "points"),
        [
            ("Daiquiri", "white rum", "2 oz", Verdict.EXACT, 3),
            ("Daiquiri", "white rum", "6 cl", Verdict.CLOSE, 2),  # 2 oz is 59 ml
            ("Daiquiri", "lime juice", "22.5 ml", Verdict.EXACT, 3),
            ("Daiquiri", "lime juice", "25 ml", Verdict.CLOSE, 2),
            ("Daiquiri", "lime juice", "30 ml", Verdict.WRONG, 0),  # 7.8 ml over; a step is 7.4
            ("Daiquiri", "lime juice", "1.5 tbsp", Verdict.CLOSE, 2),  # 22.18 ml, exactly 3/4 oz, in kitchen words
            ("Daiquiri", "lime juice", "3 part", Verdict.EXACT, 3),  # 8, 3 and 3 parts
            ("Daiquiri", "lime juice", "2 part", Verdict.WRONG, 0),
            ("Daiquiri", "lime juice", "1 piece", Verdict.CLOSE, 2),  # the book's lime gives 27 ml
            ("Daiquiri", "lime juice", "3 piece", Verdict.WRONG, 0),
            ("Manhattan", "aromatic bitters", "2 dash", Verdict.EXACT, 3),
            ("Manhattan", "aromatic bitters", "3 dash", Verdict.CLOSE, 2),
            ("Manhattan", "aromatic bitters", "4 dash", Verdict.WRONG, 0),
            ("Southside", "mint", "8 leaf", Verdict.EXACT, 3),
            ("Southside", "mint", "8 piece", Verdict.EXACT, 3),
            ("Southside", "mint", "7 leaf", Verdict.CLOSE, 2),
            ("Southside", "mint", "1 sprig", Verdict.WRONG, 0),
            ("Southside", "mint", "8 oz", Verdict.WRONG, 0),
            ("Daiquiri", "white rum", "", Verdict.UNSAID, 0),
        ],
    )
    def test_how_near_it_is(
        self, tiny_book: Book, drink: str, ingredient: str, answer: str, verdict: Verdict, points: int
    ) -> None:
        """Exact is what the book writes or the house reads out; close is one step of the jigger, or one dash."""
        recited = [Recited(ingredient, amount(answer))]
        marking = mark(Question(Kind.AMOUNT, drink, ingredient), recited, tiny_book)
        assert [line.verdict for line in marking.lines] == [verdict]
        assert (marking.points, marking.out_of) == (points, 3)

    def test_what_tops_up_needs_no_amount(self, tiny_book: Book) -> None:
        """'Soda to top' is all there is to say."""
        lines = said("2 oz gin", "0.5 oz lime juice", "soda water")
        marking = mark(Question(Kind.BUILD, "Gin Rickey"), lines, tiny_book)
        assert marking.points == marking.out_of == 9

    def test_a_metric_spec_is_close_within_a_metric_step(self, tiny_book: Book) -> None:
        """A house that writes millilitres is marked by its 2.5 ml step."""
        daiquiri = tiny_book.drinks["Daiquiri"]
        metric = Drink(
            **{**vars(daiquiri), "pours": (Pour("white rum", Amount(Decimal(60), Unit.MILLILITRE), Role.BASE),)}
        )
        book = tiny_book.with_drinks([metric])
        asked = Question(Kind.AMOUNT, "Daiquiri", "white rum")
        verdicts = [
            mark(asked, [Recited("white rum", amount(text))], book).lines[0].verdict
            for text in ("60 ml", "62.5 ml", "65 ml", "2 oz", "2.25 oz", "2.5 oz")
        ]
        expected = [Verdict.EXACT, Verdict.CLOSE, Verdict.WRONG, Verdict.EXACT, Verdict.CLOSE, Verdict.WRONG]
        assert verdicts == expected


class TestNames:
    """What is answered by a name."""

    @pytest.mark.parametrize(
        ("asked", "answer", "points", "out_of"),
        [
            (Question(Kind.METHOD, "Daiquiri"), ("shaken",), 1, 1),
            (Question(Kind.METHOD, "Daiquiri"), ("stirred",), 0, 1),
            (Question(Kind.METHOD, "Daiquiri"), ("stirred", "shaken"), 0, 1),
            (Question(Kind.METHOD, "Daiquiri"), (), 0, 1),
            (Question(Kind.GLASS, "Gin Rickey"), ("highball",), 1, 1),
            (Question(Kind.GARNISH, "Gimlet"), ("lime wheel",), 1, 1),
            (Question(Kind.GARNISH, "Gimlet"), ("lime wheel", "cherry"), 0, 1),
            (Question(Kind.MISSING, "Daiquiri", "lime juice"), ("lime juice",), 1, 1),
            (Question(Kind.MISSING, "Daiquiri", "lime juice"), ("lemon juice",), 0, 1),
        ],
    )
    def test_the_right_name_alone_is_right(
        self, tiny_book: Book, asked: Question, answer: tuple[str, ...], points: int, out_of: int
    ) -> None:
        """One for the right name; naming others beside it takes that away."""
        marking = mark(asked, [Recited(name) for name in answer], tiny_book)
        assert (marking.points, marking.out_of) == (points, out_of)

    def test_half_a_garnish_is_half_right(self, tiny_book: Book) -> None:
        """Each garnish is a point of its own."""
        book = tiny_book.with_drinks([replace(tiny_book.drinks["Gimlet"], garnish=("lime wheel", "cherry"))])
        marking = mark(Question(Kind.GARNISH, "Gimlet"), [Recited("cherry")], book)
        assert (marking.points, marking.out_of) == (1, 2)


class TestFamily:
    """Which family a drink is of."""

    @pytest.fixture
    def book(self, tiny_book: Book) -> Book:
        """The small book, where the daisy is a branch of the sour."""
        sour = FamilyRule("sour", "Sour", "citrus", Structure(), ())
        daisy = FamilyRule("daisy", "Daisy", "citrus and liqueur", Structure(), (), branch_of="sour")
        flip = FamilyRule("flip", "Flip", "egg", Structure(), ())
        book = replace(tiny_book, families={"daisy": daisy, "sour": sour, "flip": flip})
        drinks = book.drinks
        return book.with_drinks(
            [replace(drinks["Aviation"], family="daisy"), replace(drinks["Daiquiri"], family="sour")]
        )

    @pytest.mark.parametrize(
        ("drink", "answer", "points"),
        [
            ("Aviation", ("daisy",), 2),
            ("Aviation", ("sour",), 1),
            ("Daiquiri", ("daisy",), 1),
            ("Daiquiri", ("flip",), 0),
            ("Daiquiri", ("sour", "flip"), 1),
            ("Daiquiri", (), 0),
        ],
    )
    def test_one_branch_away_is_half_right(self, book: Book, drink: str, answer: tuple[str, ...], points: int) -> None:
        """The family itself is two, the trunk or a branch of it one."""
        marking = mark(Question(Kind.FAMILY, drink), [Recited(name) for name in answer], book)
        assert (marking.points, marking.out_of) == (points, 2)
