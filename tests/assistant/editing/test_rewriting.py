"""An entry is changed where it is changed, and the file keeps everything else to the letter."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from assistant.editing.rewriting import NotRewritable, Value, added, block_of, rewritten, swapped, written_anew
from recipes.schema import DrinkEntry, IngredientEntry

BOOK = Path(str(files("recipes") / "book"))
PAGES = sorted(BOOK.rglob("*.toml"))
PAGE = """\
# The house's own.
shelf = "house"
title = "House"

# It was on the first menu.
[[drink]]
name = "Harbour Sour"
pours = [
  "2 oz gin",  # the dry one
  # squeezed for each
  "3/4 oz lime juice",
  "3/4 oz simple syrup"
]
method = "shaken"  # hard
garnish = ["lime wheel"]
steps = ["Shake.", "Strain."]
price = 12.00  # since May
note = "House."

# Not on Mondays.
[[drink]]
name = "Other"
pours = ["1 oz gin"]
"""
ORDER = dict.fromkeys(DrinkEntry.model_fields)


def changed(block: str, **fields: Value | None) -> str:
    """The block with these keys and its own, in the order of the schema."""
    own = tomllib.loads(block, parse_float=Decimal)["drink"][0]
    every = {key: fields[key] if key in fields else _as_value(own.get(key)) for key in ORDER}
    return rewritten(block, "drink", every)


@pytest.fixture
def block() -> str:
    """The first drink of the page."""
    found = block_of(PAGE, "drink", "Harbour Sour")
    assert found is not None
    return found


class TestBlock:
    """Where an entry begins and ends."""

    def test_it_holds_the_entry_and_no_comment_around_it(self, block: str) -> None:
        """What stands above the next entry is the next entry's."""
        assert block.splitlines()[0] == "[[drink]]"
        assert block.splitlines()[-1] == 'note = "House."'

    def test_an_unknown_name_has_none(self) -> None:
        """There is nothing to change."""
        assert block_of(PAGE, "drink", "Nobody") is None

    def test_what_only_looks_like_a_heading_is_not_cut(self) -> None:
        """A text over several lines may hold anything; then the entry is left to be edited by hand."""
        page = PAGE.replace('note = "House."', 'note = """\n[[drink]]\nname = "Trick"\n"""')
        with pytest.raises(NotRewritable):
            block_of(page, "drink", "Harbour Sour")

    @pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
    def test_every_entry_of_the_book_can_be_changed(self, path: Path) -> None:
        """Each block is found, stays as it is when nothing changes, and comes back when a change is undone."""
        text = path.read_text("utf-8")
        for table in ("drink", "ingredient"):
            for entry in tomllib.loads(text).get(table, ()):
                found = block_of(text, table, entry["name"])
                assert found is not None
                assert rewritten(found, table, {}) == found
                other = rewritten(found, table, {"name": "Quite Another"})
                assert swapped(swapped(text, found, other), other, found) == text


class TestChange:
    """What a change writes, and what it leaves."""

    @pytest.mark.parametrize(
        ("fields", "old", "new"),
        [
            ({"price": Decimal("13.50")}, "price = 12.00  # since May", "price = 13.50  # since May"),
            ({"method": "stirred"}, 'method = "shaken"  # hard', 'method = "stirred"  # hard'),
            ({"note": None}, '\nnote = "House."', ""),
            ({"garnish": ("lime wheel", "mint")}, '["lime wheel"]', '["lime wheel", "mint"]'),
            ({"name": 'Harbour "Dry" Sour'}, '"Harbour Sour"', '"Harbour \\"Dry\\" Sour"'),
            ({"say": ("sour",)}, '"Harbour Sour"\n', '"Harbour Sour"\nsay = ["sour"]\n'),
            ({"glass": "coupe"}, "# hard\n", '# hard\nglass = "coupe"\n'),
            ({"family": "sour"}, "# since May\n", '# since May\nfamily = "sour"\n'),
            ({"taste": "Sharp."}, 'note = "House."', 'note = "House."\ntaste = "Sharp."'),
            (
                {"pours": ("2 oz gin", "3/4 oz lime juice", "1/2 oz simple syrup")},
                '"3/4 oz simple syrup"',
                '"1/2 oz simple syrup",',
            ),
            (
                {"pours": ("2 oz gin", "3/4 oz simple syrup")},
                '  # squeezed for each\n  "3/4 oz lime juice",\n  "3/4 oz simple syrup"',
                '  "3/4 oz simple syrup",',
            ),
            (
                {"steps": ("Shake.", "Strain.", "Serve.")},
                '["Shake.", "Strain."]',
                '[\n  "Shake.",\n  "Strain.",\n  "Serve.",\n]',
            ),
        ],
    )
    def test_only_what_changes_is_written(
        self, block: str, fields: Mapping[str, Value | None], old: str, new: str
    ) -> None:
        """Other keys, their order and the comments on their lines stay."""
        assert changed(block, **fields) == block.replace(old, new, 1)

    @pytest.mark.parametrize("price", ["12", "12.0", "12.00"])
    def test_the_same_number_is_no_change(self, block: str, price: str) -> None:
        """Twelve is twelve, however it is typed."""
        assert changed(block, price=Decimal(price)) == block

    def test_lines_that_move_take_their_comments_along(self, block: str) -> None:
        """A pour that goes to the top keeps what was said of it."""
        lines = changed(block, pours=("3/4 oz lime juice", "2 oz gin")).splitlines()
        assert lines[2:7] == [
            "pours = [",
            "  # squeezed for each",
            '  "3/4 oz lime juice",',
            '  "2 oz gin",  # the dry one',
            "]",
        ]

    def test_a_recipe_of_the_house_s_own_is_changed_within(self) -> None:
        """The table under the ingredient keeps its comments as well."""
        bare = '[[ingredient]]\nname = "syrup"\nrole = "sweetener"'
        old = (
            f'{bare}\n\n[ingredient.made]\npours = [\n  "500 g sugar",  # fine\n]\nmakes = "800 ml"\nsteps = ["Stir."]'
        )
        made: dict[str, Value | None] = {
            "pours": ("500 g sugar", "500 g water"),
            "makes": "813 ml",
            "steps": ("Stir.",),
        }
        new = rewritten(old, "ingredient", {"made": made})
        assert new == old.replace("# fine\n", '# fine\n  "500 g water",\n').replace("800 ml", "813 ml")
        assert rewritten(new, "ingredient", {"made": None}) == bare

    def test_a_pack_goes_between_braces(self) -> None:
        """As in the rest of the book."""
        old = '[[ingredient]]\nname = "gin"\nrole = "base"\npack = { size = "750 ml", price = 24.00 }  # by the case'
        fields: dict[str, Value | None] = {"pack": {"size": "1 l", "price": Decimal("28.00"), "usable": None}}
        assert rewritten(old, "ingredient", fields).endswith('pack = { size = "1 l", price = 28.00 }  # by the case')


class TestPage:
    """The whole file."""

    @pytest.mark.parametrize(("was", "now", "line"), [(None, True, "vegan = true"), (True, False, "vegan = false")])
    def test_yes_and_no_are_words_of_the_file(self, was: bool | None, now: bool, line: str) -> None:
        """An answer that is given, or turned round, stands as the file format writes it; the same is no change."""
        told = "" if was is None else f"vegan = {str(was).lower()}\n"
        block = f'[[ingredient]]\nname = "honey"\nrole = "sweetener"\n{told}'
        fields = dict.fromkeys(IngredientEntry.model_fields) | {"name": "honey", "role": "sweetener"}
        after = rewritten(block, "ingredient", {**fields, "vegan": now})
        assert line in after.splitlines()
        assert rewritten(after, "ingredient", {**fields, "vegan": now}) == after

    def test_a_change_leaves_every_other_line(self, block: str) -> None:
        """The file differs in one line."""
        new = swapped(PAGE, block, changed(block, price=Decimal(13)))
        assert [pair for pair in zip(PAGE.split("\n"), new.split("\n"), strict=True) if pair[0] != pair[1]] == [
            ("price = 12.00  # since May", "price = 13  # since May")
        ]

    def test_a_new_entry_goes_to_the_end_and_can_be_taken_out_again(self) -> None:
        """Taking it out leaves the file as it was."""
        fields: dict[str, Value | None] = ORDER | {
            "name": "New",
            "pours": ("1 oz gin", "1 oz lime juice"),
            "garnish": ("lime wheel",),
            "price": Decimal("12.00"),
        }
        block = written_anew("drink", fields)
        new = added(PAGE, block)
        assert new.startswith(PAGE)
        assert tomllib.loads(new)["drink"][2] == {
            "name": "New",
            "pours": ["1 oz gin", "1 oz lime juice"],
            "garnish": ["lime wheel"],
            "price": 12.0,
        }
        assert swapped(new, block, None) == PAGE

    def test_an_entry_that_changed_meanwhile_is_not_swapped(self, block: str) -> None:
        """What is no longer there cannot be put in another's place."""
        with pytest.raises(NotRewritable):
            swapped(PAGE.replace("hard", "softly"), block, None)

    @pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
    def test_what_is_written_anew_says_the_same(self, path: Path) -> None:
        """Each entry of the book, written as if it were new, reads as it did."""
        data: dict[str, Any] = tomllib.loads(path.read_text("utf-8"), parse_float=Decimal)
        for table, model in (("drink", DrinkEntry), ("ingredient", IngredientEntry)):
            for entry in data.get(table, ()):
                fields = {key: _as_value(entry.get(key)) for key in model.model_fields}
                again = tomllib.loads(written_anew(table, fields), parse_float=Decimal)[table]
                assert again == [entry]


def _as_value(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _as_value(inner) for key, inner in value.items()}
    return tuple(value) if isinstance(value, list) else value
