"""Suppliers' lists as they come: right prices, or a clear refusal that changes nothing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import MappingProxyType

import pytest

from assistant.answers.base import SetPrice, Supplied
from assistant.answers.list_lines import refused
from assistant.answers.price_list import previewed
from assistant.errors import ListRefused
from assistant.office.supplier import Asked, NearLine, Preview, preview
from recipes.model import Book
from recipes.units import quantity
from tests.conftest import make_tiny_book, pack

USD, EUR = make_tiny_book(), make_tiny_book()
EUR = replace(EUR, house=replace(EUR.house, currency="EUR", symbol="€"))
HEAD = "Product;Pack;Price\n"
LONG = 20_000
NOTHING_ASKED = Asked()


def looked_at(text: str | bytes, book: Book = USD, asked: Asked = NOTHING_ASKED) -> Preview:
    """The preview of a list against the small book: gin at 24, white rum at 21, rye at 30, each for 750 ml."""
    return preview(text if isinstance(text, bytes) else text.encode(), book, {}, asked)


def prices(found: Preview) -> dict[str, str]:
    """The prices that would be new, by ingredient."""
    return {change.ingredient: f"{change.new.magnitude:f}" for change in found.changes}


@dataclass(frozen=True)
class Awkward:
    """One file: its name, its bytes, and the prices it ends in; or why it is refused, and at which lines."""

    name: str
    data: bytes
    right: dict[str, str] | None = None
    refusal: str = ""
    faults: tuple[tuple[int, str], ...] = ()
    book: Book = USD


def text(name: str, body: str, encoding: str = "utf-8", book: Book = USD, **ends: object) -> Awkward:
    """A file of text."""
    return Awkward(name, body.encode(encoding), book=book, **ends)  # type: ignore[arg-type]


def long_list() -> str:
    """20,000 lines, three of them ours, one each at the start, in the middle and at the end."""
    lines = [f"Sundry article no. {number};12 x {number % 900 + 50} ml;{number}.50" for number in range(LONG)]
    lines[0], lines[LONG // 2], lines[-1] = "Gin;6x700ml;142.80", "white rum;1 L;27.60", "rye whiskey;750 ml;31.00"
    return HEAD + "\n".join(lines)


FILES = (
    text("plain UTF-8", HEAD + "Gin;750 ml;25.50\nWhite Rum;750 ml;21.00\n", right={"gin": "25.5"}),
    text("UTF-8 with its mark", "Product,Pack,Price\nGin,75cl,25.50\n", "utf-8-sig", right={"gin": "25.5"}),
    text(
        "cp1252 and German words",
        "Artikel;Gebinde;Preis (€)\nGin;6 x 0,70 L;120,96\nKräuterlikör;0,5 l;9,90\n",
        "cp1252",
        EUR,
        right={"gin": "21.6"},
    ),
    text("UTF-16 from a spreadsheet", "Item\tSize\tCost\r\nGin\t1 L\t$34.00\r\n", "utf-16", right={"gin": "25.5"}),
    text("UTF-16 without its mark", HEAD + "gin;750 ml;25.50\n", "utf-16-le", right={"gin": "25.5"}),
    text("decimal commas and thousands", HEAD + "gin;48 x 750 ml;1.224,00\n", right={"gin": "25.5"}),
    text(
        "a title, a date and blank lines above and between",
        "Harbour Provisions\n;;\nvalid from 1 March;;\n\n" + HEAD + "\n ; ; \ngin;750ml;25.50\n\n;;\nTotal;;25.50\n",
        right={"gin": "25.5"},
    ),
    text("the separator named first", "sep=,\nproduct,pack,price\ngin,750ml,25.50\n", right={"gin": "25.5"}),
    text("cells of several lines", 'product,pack,price\n"gin","750 ml\nbottle",25.50\n', right={"gin": "25.5"}),
    text(
        "cases, dozens and pieces",
        "product,pack,price\ngin,case of 12,300\nlime juice,5 dozen,30.00\negg white,15 doz,90.00\n"
        "maraschino liqueur,6/750ML,150\n",
        right={"gin": "25", "lime juice": "0.5", "egg white": "6", "maraschino liqueur": "23.3333"},
    ),
    text(
        "units per case in a column, the price of one",
        "Description,Units per case,Pack size,Bottle price\ngin,6,700 ml,23.80\n",
        right={"gin": "25.5"},
    ),
    text("20,000 lines", long_list(), right={"gin": "25.5", "white rum": "20.7", "rye whiskey": "31"}),
    text("a comma that was not quoted", "product,pack,price\ngin,750 ml,25,50\n", faults=((2, "cells"),)),
    text("no heading", "gin;750 ml;25.50\n", refusal="no heading"),
    text("two columns of prices", "product,pack,net price,list price\ngin,750 ml,25,29\n", refusal="two columns"),
    text("another currency", HEAD + "gin;750 ml;€ 25,50\n", faults=((2, "another currency"),)),
    text("another currency in the heading", "Product;Pack;Price (EUR)\ngin;750 ml;25,50\n", refusal="currency"),
    text(
        "one good line and five bad ones",
        HEAD + "white rum;750 ml;22.00\ngin;a keg;25.50\nrye whiskey;750 ml;POA\n"
        "lime juice;2 kg;9.00\negg white;case of 12;60\n"
        "sweet vermouth;0.7;15\n",
        faults=(
            *((3, "size not understood"), (4, "no number"), (5, "bought another way")),
            *((6, "how many pieces"), (7, "no unit")),
        ),
    ),
    text("twice, at different prices", HEAD + "gin;700 ml;23.80\ngin;1 L;30.00\n", faults=((3, "twice"),)),
    text("a case priced as a bottle", HEAD + "gin;750 ml;144.00\n", faults=((2, "large"),)),
    text("a sum that reads two ways", HEAD + "gin;48 x 750 ml;1.224\n", faults=((2, "two ways"),)),
    text(
        "less than nothing, and nothing",
        HEAD + "gin;1 l;-4.00\nwhite rum;1 l;\n",
        faults=((2, "not positive"), (3, "no price")),
    ),
    text("a quotation mark left open", 'product,pack,price\ngin,750 ml,"25.50\nwhite rum,1 L,3\n', refusal="quote"),
    Awkward("a workbook", b"PK\x03\x04" + bytes(range(256)) * 8, refusal="workbook"),
    Awkward("no text at all", b"\x81\x8d\x8f\x90\x9d" * 20, refusal="no text"),
    Awkward("nothing", b"\xef\xbb\xbf"[:0] + b"\r\n\r\n", refusal="empty"),
)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_awkward_list_ends_in_right_prices_or_a_refusal(file: Awkward) -> None:
    """Each file prices what it should, or is refused whole with a sentence that says why."""
    if file.refusal:
        with pytest.raises(ListRefused) as why:
            preview(file.data, file.book, {})
        assert why.value.reason == file.refusal
        assert refused(why.value).say.endswith("Nothing was changed.")
        return
    found = preview(file.data, file.book, {})
    assert tuple((fault.line, str(fault.reason)) for fault in found.faults) == file.faults
    if file.right is not None:
        assert prices(found) == file.right
    assert previewed(found, file.book).say.endswith(".")


class TestNames:
    """Whose price it is."""

    def test_capitals_and_spaces_do_not_matter(self) -> None:
        """'  WHITE   RUM ' is the book's white rum."""
        assert prices(looked_at(HEAD + "  WHITE   RUM ;750 ml;22\n")) == {"white rum": "22"}

    def test_a_near_name_is_offered_and_not_taken(self) -> None:
        """'Dry gin' is not gin until somebody says so."""
        found = looked_at(HEAD + "White Rums 40%;750 ml;22\n")
        assert found.near == (NearLine(2, "White Rums 40%", ("white rum",)),)
        assert found.changes == ()

    def test_a_match_is_taken_and_remembered(self) -> None:
        """One name of the list may be two of the book's: a lime is juice and wheels."""
        asked = Asked(matches={"Limes, fresh": ("lime juice", "lime wheel")})
        found = looked_at(HEAD + "Limes (fresh);each;0.60\nLimes, fresh;each;0.55\n", asked=asked)
        assert prices(found) == {"lime juice": "0.55", "lime wheel": "0.55"}
        remembered = Supplied("limes fresh", ("lime juice", "lime wheel"))
        assert found.as_changes()[-1] == remembered

    def test_a_remembered_name_needs_no_telling(self) -> None:
        """The next list of that supplier is read by itself."""
        known = {"london dry 70cl": ("gin",)}
        found = preview((HEAD + "London Dry 70cl;70 cl;23.80\n").encode(), USD, known)
        assert prices(found) == {"gin": "25.5"}

    @pytest.mark.parametrize(
        ("matches", "reason"),
        [({"gin": ("jin",)}, "no such ingredient"), ({"jin": ("gin",)}, "no such name")],
    )
    def test_a_slip_in_a_match_is_refused(self, matches: dict[str, tuple[str, ...]], reason: str) -> None:
        """Neither side of a match may be a name that is not there."""
        with pytest.raises(ListRefused) as why:
            looked_at(HEAD + "gin;750 ml;25\n", asked=Asked(matches=matches))
        assert why.value.reason == reason

    def test_what_the_house_makes_is_left_alone(self) -> None:
        """The list sells a syrup that the book makes from sugar: it is told, and no price is set for it."""
        found = looked_at(HEAD + "sugar syrup;1 l;4.00\nviolet liqueur;700 ml;22\ngin;750 ml;25\n")
        assert found.made_here == ("sugar syrup", "violet liqueur")
        assert prices(found) == {"gin": "25"}


class TestPacks:
    """What a price is for."""

    def test_the_line_of_the_book_s_own_pack_is_taken(self) -> None:
        """Gin in litres and in the book's 750 ml: the bottle that the bar buys counts."""
        assert prices(looked_at(HEAD + "gin;1 L;30.00\ngin;750 ml;26.00\n")) == {"gin": "26"}

    def test_the_same_price_twice_is_one(self) -> None:
        """A line that stands twice says nothing new."""
        assert prices(looked_at(HEAD + "gin;750 ml;26.00\ngin;750 ml;26.00\n")) == {"gin": "26"}

    def test_a_size_that_is_not_written_is_the_book_s_and_said_so(self) -> None:
        """'A case of 12' of gin is twelve of the book's bottles; the card says that it was assumed."""
        found = looked_at(HEAD + "gin;case of 12;300\n")
        assert found.changes[0].assumed
        assert "the book's is taken" in str(previewed(found, USD).card)

    def test_pieces_are_told_from_packs(self) -> None:
        """Cherries come in jars of a hundred: one 'jar' is the book's, 'each' is asked about."""
        jar = looked_at(HEAD + "cherry;jar;13.00\n", with_jars_of_a_hundred())
        assert prices(jar) == {"cherry": "13"}
        each = looked_at(HEAD + "cherry;each;13.00\n", with_jars_of_a_hundred())
        assert [str(fault.reason) for fault in each.faults] == ["how many pieces"]

    def test_ounces_are_poured_or_weighed_as_the_book_has_it(self) -> None:
        """16 oz of sugar is 453.59 g; 25.36 oz of gin is a bottle of 750 ml."""
        found = looked_at(HEAD + "white sugar;16 oz;0.80\ngin;25.36 oz;26.00\n")
        assert prices(found) == {"white sugar": "1.7637", "gin": "26.0005"}

    def test_a_large_change_is_taken_when_it_is_said_to_be_right(self) -> None:
        """Three times the old price holds the list back until the person stands by it."""
        text = HEAD + "gin;750 ml;72.00\n"
        assert [fault.reason for fault in looked_at(text).faults] == ["large"]
        assert prices(looked_at(text, asked=Asked(large_changes=True))) == {"gin": "72"}
        assert prices(looked_at(HEAD + "gin;750 ml;71.90\n")) == {"gin": "71.9"}


class TestColumns:
    """Which column is which, when the person says so."""

    def test_headings_can_be_given(self) -> None:
        """Words that no list of ours has."""
        asked = Asked(columns={"item": "Was", "price": "Kostet"})
        assert prices(looked_at("Was;Kostet\ngin;25,50\n", asked=asked)) == {"gin": "25.5"}

    def test_numbers_need_no_heading(self) -> None:
        """A list that begins with its first bottle."""
        asked = Asked(columns={"item": "2", "pack": "3", "price": "4"})
        assert prices(looked_at("0017|gin|700 ml|23.80\n0018|white rum|1 L|30\n", asked=asked)) == {
            "gin": "25.5",
            "white rum": "22.5",
        }

    def test_a_given_heading_settles_two_prices(self) -> None:
        """Net price and list price: the one that was named."""
        asked = Asked(columns={"price": "list price"})
        found = looked_at("product,pack,net price,list price\ngin,750 ml,25,29\n", asked=asked)
        assert prices(found) == {"gin": "29"}

    def test_a_column_of_no_such_meaning_is_refused(self) -> None:
        """'colour' is nothing that a price list is read for."""
        with pytest.raises(ListRefused) as why:
            looked_at(HEAD, asked=Asked(columns={"colour": "1"}))
        assert refused(why.value).say.startswith('I know no column "colour". There are: item, pack')


def test_prices_are_what_is_remembered() -> None:
    """What a preview shows is what is then applied, and nothing else."""
    found = looked_at(HEAD + "gin;750 ml;25.50\nwhite rum;750 ml;21.00\n")
    assert found.as_changes() == (SetPrice("gin", quantity("25.5", "money")),)
    assert [row.ingredient for row in found.unchanged] == ["white rum"]


def test_the_card_shows_old_and_new_and_the_line() -> None:
    """'gin, 750 ml, $25.50, $24.00, 6.3 %', worked out from line 2."""
    card = str(previewed(looked_at(HEAD + "gin;6x700ml;142.80\n"), USD).card)
    for told in ("$25.50", "$24.00", "6.3 %", "line 2: 6x700ml at 142.80"):
        assert told in card


def with_jars_of_a_hundred() -> Book:
    """The small book with its cherries bought by the jar of a hundred pieces."""
    cherry = replace(USD.ingredients["cherry"], pack=pack("100 piece", "12.00"))
    return replace(USD, ingredients=MappingProxyType(dict(USD.ingredients) | {"cherry": cherry}))
