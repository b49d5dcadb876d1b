"""The manager's Monday: prices in, the menu costed again, three prices changed and one taken back, sheets printed."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, Page

from assistant.cli import main
from assistant.services import Services
from tests.browser.conftest import serving
from tests.browser.typing_to_it import ask

LIST = """Harbour Provisions;;;
Artikel;Gebinde;Preis
Gin;6 x 700 ml;168,00
Lime;Stück;0,55
Rye Whiskey;12/750ml;384,00
Beans, tinned;24 x 400 g;19,20
"""
TILL = "Item,Qty\nGimlet,61\nDaiquiri,44\nManhattan,23\nTidewrack,30\nWhiskey Sour,9\n"


@pytest.fixture
def database(tmp_path: Path) -> str:
    """A database of the test's own."""
    return f"sqlite:///{tmp_path / 'shift.db'}"


@pytest.fixture
def page(browser: Browser, database: str) -> Iterator[Page]:
    """The page of the real assistant with the book that ships, at the size of a tablet."""
    services = Services(database_url=database)
    with serving(services) as running:
        opened = browser.new_page(viewport={"width": 1024, "height": 768})
        opened.goto(running.address)
        yield opened
        opened.close()
    services.close()


def run(database: str, *words: str) -> str:
    """A command in the office's terminal; what it prints."""
    result = CliRunner().invoke(main, ["--database", database, *words])
    assert result.exit_code == 0, result.output
    return result.output


def text_of(page: Page, file: Path) -> str:
    """What the page prints as a PDF on A4."""
    page.pdf(path=file, format="A4")
    return subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True).stdout


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
def test_the_managers_monday(page: Page, database: str, tmp_path: Path, keep_shot: Callable[[Page, str], None]) -> None:
    """From the supplier's list to the sheets on the wall; the page knows at once what the terminal took in."""
    before = ask(page, "what does a gimlet cost")

    prices, till = tmp_path / "list.csv", tmp_path / "till.csv"
    prices.write_text(LIST, "cp1252")
    till.write_text(TILL, "utf-16")
    assert "Two prices would change." in run(database, "import", "prices", str(prices))
    assert ask(page, "what does a gimlet cost") == before, "what is only shown changes nothing"
    match = ("--match", "Lime=lime juice", "--match", "Lime=lime wheel")
    taken = run(database, "import", "prices", str(prices), *match, "--apply")
    assert "Four prices changed." in taken
    run(database, "import", "sales", str(till), "--apply")

    after = ask(page, "what does a gimlet cost")
    assert after != before
    assert "over the house's twenty-two percent" in after
    keep_shot(page, "monday-gimlet")
    over = ask(page, "which drinks are over twenty two percent")
    assert re.match(r"[A-Z][a-z-]+ drinks have a pour cost over twenty-two percent: ", over)
    keep_shot(page, "monday-over")

    assert ask(page, "vodka is nineteen dollars now").startswith("Vodka is now nineteen dollars a bottle.")
    assert ask(page, "tequila is thirty dollars now").startswith("Tequila is now thirty dollars a bottle.")
    assert ask(page, "cognac is eighty dollars now").startswith("Cognac is now eighty dollars a bottle.")
    assert ask(page, "undo that") == "Undone. Cognac is back at the price in the book."
    assert "Among five drinks I count" in run(database, "report", "engineering")
    now = run(database, "export", "prices")
    assert all(line in now for line in ("gin,750 ml,30,USD", "vodka,750 ml,19,USD", "cognac,750 ml,36.00,USD"))

    ask(page, "prep for eighty covers")
    assert "Last: press the juices" in text_of(page, tmp_path / "prep.pdf")
    ask(page, "batch forty manhattans")
    batch = text_of(page, tmp_path / "batch.pdf")
    assert all(word in batch for word in ("Order of mixing", "Discard by", "24.8 % vol"))

    token = re.findall("undo ([0-9a-f]{32})", taken)[0]
    assert "are taken back" in run(database, "undo", token)
    assert ask(page, "what does a gimlet cost") == before
