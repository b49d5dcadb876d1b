"""The book's classics in the glass, against published ranges for each way of mixing."""

from __future__ import annotations

from decimal import Decimal

from recipes.balance import balance
from recipes.loader import load_book
from tests.checks.table import Row, table
from tests.known_book import number

BOOK = load_book()
RANGES = "Arnold, Liquid Intelligence (2014), p. 125-126, style ranges, from memory"
EDGE = Decimal("0.1")  # a finished drink may lie this fraction outside the range

BUILT, STIRRED, SHAKEN, EGG, LONG = ("27", "32"), ("21", "29"), ("15", "20"), ("12", "15"), ("14", "16")
STIRRED_SUGAR, SHAKEN_SUGAR, EGG_SUGAR = ("37", "56"), ("50", "89"), ("67", "90")
SHAKEN_ACID, EGG_ACID = ("0.76", "0.94"), ("0.49", "0.68")


def between(name: str, what: str, edges: tuple[str, str]) -> Row:
    """A row that asks for a number between two edges, give or take a tenth."""
    low, high = Decimal(edges[0]) * (1 - EDGE), Decimal(edges[1]) * (1 + EDGE)
    middle, half = (low + high) / 2, (high - low) / 2
    return Row(f"{name}, {what}", (name, what), str(middle), str(half), RANGES, f"{edges[0]} to {edges[1]}")


@table(
    between("Old Fashioned", "abv", BUILT),
    *(between(name, "abv", STIRRED) for name in ("Manhattan", "Rob Roy", "Martini", "Gibson", "Vieux Carre")),
    *(between(name, "sugar", STIRRED_SUGAR) for name in ("Manhattan", "Rob Roy", "Vieux Carre")),
    *(
        between(name, "abv", SHAKEN)
        for name in ("Daiquiri", "Gimlet", "Margarita", "Sidecar", "Aviation", "Bee's Knees")
    ),
    *(between(name, "sugar", SHAKEN_SUGAR) for name in ("Daiquiri", "Aviation", "Jack Rose", "Army and Navy")),
    *(between(name, "acid", SHAKEN_ACID) for name in ("Daiquiri", "Margarita", "Sidecar", "White Lady", "Bee's Knees")),
    *(between(name, "abv", EGG) for name in ("Clover Club", "Pisco Sour", "Pink Lady")),
    *(between(name, "sugar", EGG_SUGAR) for name in ("Clover Club", "Pisco Sour")),
    *(between(name, "acid", EGG_ACID) for name in ("Clover Club", "Pisco Sour", "Pink Lady")),
    between("Gin and Tonic", "abv", LONG),
)
def test_a_classic_lands_where_its_kind_lands(row: Row) -> None:
    """Strength, sugar and acid as served, within 10 % of the range for its way of mixing."""
    found = balance(BOOK.drinks[row.given[0]], BOOK)
    measured = {
        "abv": (found.abv, "percent"),
        "sugar": (found.sugar, "gram/liter"),
        "acid": (found.acid, "gram/deciliter"),
    }
    assert row.agrees(number(*measured[row.given[1]]))
