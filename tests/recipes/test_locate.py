"""The line of anything written in a TOML file."""

from __future__ import annotations

import pytest

from recipes.locate import line_of, line_of_syntax_error

TEXT = """\
# a shelf
shelf = "classics"

[[drink]]  # first
name = "Gimlet"
pours = ["2 oz gin", "3/4 oz lime cordial"]

[[drink]]
name = "Martini"
pours = [
  "2 oz gin",
  # the dry kind
  "1 oz dry vermouth",
]
steps = ["Stir.", "2 oz gin"]

[drink.made]
pours = ["1 oz water"]
makes = "30 ml"

[[glass]]
name = "coupe"
"""


@pytest.mark.parametrize(
    ("expected", "table", "index", "key", "item"),
    [
        (2, "", 0, "shelf", ""),
        (1, "", 0, "title", ""),
        (4, "drink", 0, "", ""),
        (5, "drink", 0, "name", ""),
        (6, "drink", 0, "pours", "3/4 oz lime cordial"),
        (8, "drink", 1, "glass", ""),
        (10, "drink", 1, "pours", ""),
        (11, "drink", 1, "pours", "2 oz gin"),
        (13, "drink", 1, "pours", "1 oz dry vermouth"),
        (15, "drink", 1, "steps", "2 oz gin"),
        (10, "drink", 1, "pours", "Stir."),
        (17, "drink", 1, "made", ""),
        (18, "drink", 1, "made.pours", "1 oz water"),
        (19, "drink", 1, "made.makes", ""),
        (17, "drink", 1, "made.steps", ""),
        (22, "glass", 0, "name", ""),
        (1, "drink", 7, "name", ""),
    ],
)
def test_the_line_of_an_entry_a_key_or_an_item(expected: int, table: str, index: int, key: str, item: str) -> None:
    """Each thing is found in its own entry, and what is not there falls back to what would hold it."""
    assert line_of(TEXT, table, index, key, item) == expected


@pytest.mark.parametrize(
    ("expected", "message"),
    [(3, "Expected '=' after a key (at line 3, column 5)"), (22, "Invalid value (at end of document)")],
)
def test_the_line_of_a_syntax_error(expected: int, message: str) -> None:
    """The parser's own line number, or the last line."""
    assert line_of_syntax_error(message, TEXT) == expected
