"""The manager's commands from a terminal: shown first, done when told, taken back whole."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from assistant.memory import Memory
from assistant.office.commands import exports, history, imports, report, undo
from assistant.services import Services
from recipes.units import quantity


@dataclass(frozen=True)
class Desk:
    """A memory of the test's own, and a terminal before it."""

    url: str
    folder: Path

    def services(self) -> Services:
        """The assistant on that memory."""
        return Services(database_url=self.url)

    def prices(self) -> dict[str, str]:
        """The prices that are remembered."""
        memory = Memory(self.url)
        found = {name: str(price.magnitude) for name, price in memory.recall().prices.items()}
        memory.close()
        return found

    def imports(self, *words: str) -> Result:
        """Run an import."""
        return CliRunner().invoke(imports, words, obj=self)

    def file(self, name: str, text: str) -> str:
        """A file with that text; its path."""
        path = self.folder / name
        path.write_text(text, "utf-8")
        return str(path)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    """A desk on which nothing lies yet."""
    return Desk(f"sqlite:///{tmp_path / 'shift.db'}", tmp_path)


LIST = "Item;Size;Price\ngin;6x700ml;142,80\nLimes, fresh;each;0,55\nsomething else;1 kg;3\n"


class TestPrices:
    """`import prices`."""

    def test_a_list_is_only_shown_at_first(self, desk: Desk) -> None:
        """The preview has old and new price; nothing is remembered."""
        result = desk.imports("prices", desk.file("list.csv", LIST))
        assert result.exit_code == 0
        assert "One price would change. Add --apply to make it so." in result.output
        assert "$25.50  $24.00" in result.output
        assert desk.prices() == {}

    def test_it_is_applied_when_told_and_undone_by_its_token(self, desk: Desk) -> None:
        """All of it comes back out by one token, names included."""
        file = desk.file("list.csv", LIST)
        match = ("--match", "Limes, fresh=lime juice", "--match", "Limes, fresh=lime wheel")
        done = desk.imports("prices", file, *match, "--apply")
        assert done.exit_code == 0
        assert desk.prices() == {"gin": "25.5", "lime juice": "0.55", "lime wheel": "0.55"}
        again = desk.imports("prices", file)
        assert "Three prices stay the same." in again.output, "the names are remembered"
        token = re.findall("undo ([0-9a-f]{32})", done.output)[0]
        undone = CliRunner().invoke(undo, [token], obj=desk)
        assert undone.output == "Undone. Four changes, made together, are taken back.\n"
        assert desk.prices() == {}
        assert CliRunner().invoke(undo, [token], obj=desk).exit_code == 1

    @pytest.mark.parametrize("text", [LIST + "vodka;a keg;100\n", "gin\n", "", 'Item;Price\ngin;"3\n'])
    def test_a_list_with_a_fault_changes_nothing(self, desk: Desk, text: str) -> None:
        """Exit code 1, a sentence, and not even the good lines are taken."""
        result = desk.imports("prices", desk.file("list.csv", text), "--apply")
        assert result.exit_code == 1
        assert "othing was changed" in result.output
        assert desk.prices() == {}

    def test_columns_are_given_by_heading_or_number(self, desk: Desk) -> None:
        """As the help says."""
        file = desk.file("list.csv", "Was,Kostet,Menge\ngin,25.50,750 ml\n")
        assert "$25.50" in desk.imports("prices", file, "--columns", "item=Was, price=2, pack=Menge").output

    def test_a_pair_without_a_sign_is_wrong_usage(self, desk: Desk) -> None:
        """Exit code 2, as for every wrong option."""
        result = desk.imports("prices", desk.file("list.csv", LIST), "--match", "gin")
        assert result.exit_code == 2
        assert '"gin" is not of the form NAME=OURS.' in result.output


def test_an_applied_list_is_what_the_bar_costs_by(desk: Desk) -> None:
    """After the import, the book in use has the new price."""
    desk.imports("prices", desk.file("list.csv", LIST), "--apply")
    services = desk.services()
    pack = services.book.ingredients["gin"].pack
    services.close()
    assert pack is not None
    assert pack.price == quantity("25.5", "money")


class TestSales:
    """`import sales`."""

    TILL = "Item,Qty\nGimlet,50\nDaiquiri,30\nManhattan,9\nNight snacks,70\n"

    def test_sales_are_shown_then_taken_then_asked_about(self, desk: Desk) -> None:
        """Once taken, the menu engineering knows them; taken again, nothing is new."""
        file = desk.file("till.csv", self.TILL)
        assert "Eighty-nine sales of three drinks. Add --apply" in desk.imports("sales", file).output
        assert desk.imports("sales", file, "--apply").exit_code == 0
        services = desk.services()
        assert dict(services.tonight().sold) == {"Gimlet": 50, "Daiquiri": 30, "Manhattan": 9}
        services.close()
        assert "that list was taken already" in desk.imports("sales", file, "--apply").output

    @pytest.mark.parametrize("text", [TILL + "Negroni,some\n", "Item,Qty\nFries,9\n", "Item,Qty,Sold\nGimlet,1,2\n"])
    def test_a_sales_list_with_a_fault_changes_nothing(self, desk: Desk, text: str) -> None:
        """Not even the good lines are counted."""
        result = desk.imports("sales", desk.file("till.csv", text), "--apply")
        assert result.exit_code == 1
        assert "othing was changed" in result.output


class TestExports:
    """`export` to the terminal and to a file; `import recipes`."""

    @pytest.mark.parametrize(
        ("what", "begins"),
        [
            ("prices", "Ingredient,Pack,Price,Currency"),
            ("menu", "Drink,Shelf,Cost"),
            ("trail", "When,Who,What"),
            ("recipes", '{\n "@context": "https://schema.org"'),
            ("memory", '{\n "out": []'),
        ],
    )
    def test_each_goes_to_the_terminal(self, desk: Desk, what: str, begins: str) -> None:
        """Without a file, to be piped on."""
        result = CliRunner().invoke(exports, [what], obj=desk)
        assert result.exit_code == 0
        assert result.output.startswith(begins)

    def test_a_price_that_was_imported_is_in_the_export(self, desk: Desk) -> None:
        """Prices as they are now, in a file, which imports again without a change."""
        desk.imports("prices", desk.file("list.csv", LIST), "--apply")
        file = desk.folder / "prices.csv"
        CliRunner().invoke(exports, ["prices", str(file)], obj=desk)
        assert "gin,750 ml,25.5,USD" in file.read_text("utf-8")
        assert "No price would change." in desk.imports("prices", str(file)).output

    def test_a_recipe_is_shown_then_taken_into_the_book(self, desk: Desk) -> None:
        """A drink from elsewhere can be asked for once it was taken; a broken one leaves the book as it was."""
        recipe = {
            "@type": "Recipe",
            "name": "Harbour Wall",
            "recipeIngredient": ["2 oz aged rum", "3/4 oz lime juice"],
            "recipeInstructions": "Shake and strain into a coupe.",
        }
        file = desk.file("recipe.json", json.dumps(recipe))
        assert "One recipe can be taken. Add --apply to take it." in desk.imports("recipes", file).output
        assert desk.imports("recipes", file, "--apply").exit_code == 0
        services = desk.services()
        assert "Harbour Wall" in services.book.drinks
        services.close()
        assert desk.imports("recipes", file, "--apply").exit_code == 1, "it is there already"


class TestReport:
    """`report`."""

    def test_each_report_is_shown(self, desk: Desk) -> None:
        """Costs and prices at once; the engineering when sales were taken in."""
        assert "The menu" in CliRunner().invoke(report, ["costs"], obj=desk).output
        assert "25 % dearer adds" in CliRunner().invoke(report, ["prices", "--percent", "25"], obj=desk).output
        assert "I know of no sales." in CliRunner().invoke(report, ["engineering"], obj=desk).output
        desk.imports("sales", desk.file("till.csv", TestSales.TILL), "--apply")
        assert "Among three drinks I count" in CliRunner().invoke(report, ["engineering"], obj=desk).output


class TestHistory:
    """`history`."""

    def test_every_price_is_told_with_who_and_when(self, desk: Desk) -> None:
        """Set by a list, taken back, and before that never changed."""
        told = CliRunner().invoke(history, ["Gin"], obj=desk).output
        expected = "Gin is twenty-four dollars a bottle. That is the price in the book; it was never changed here."
        assert " ".join(told.split()) == expected
        done = desk.imports("prices", desk.file("list.csv", LIST), "--apply").output
        CliRunner().invoke(undo, re.findall("undo ([0-9a-f]{32})", done), obj=desk)
        told = CliRunner().invoke(history, ["gin"], obj=desk).output
        assert "It was changed two times." in told
        assert "$25.50" in told
        assert "the price in the book" in told

    def test_what_the_book_lacks_or_makes_is_said(self, desk: Desk) -> None:
        """Wrong usage for a strange name; a syrup's price comes from its parts."""
        assert CliRunner().invoke(history, ["jin"], obj=desk).exit_code == 2
        assert "made in the house" in CliRunner().invoke(history, ["simple syrup"], obj=desk).output
