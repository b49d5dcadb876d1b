"""What comes out of the printer: spec card, prep sheet, batch with its label, cost report, on A4 and on Letter."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from assistant.answers.base import Scene
from assistant.handlers import HANDLERS
from assistant.messages import Focus, Heard, Reply, Table
from assistant.web.server import Running
from grammar.command import Command, Intent
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving
from tests.made_up import the_book

pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")

PAPER = {"A4": (595, 842), "Letter": (612, 792)}  # points: ISO 216; ANSI/ASME Y14.1
LEAST_MARGIN = 30  # points: a printer needs some 6 mm
COMMANDS = {
    "spec": Command(Intent.SPEC, {"drink": "Clover Club"}),
    "prep": Command(Intent.PREP, {}),
    "batch": Command(Intent.BATCH, {"drink": "Manhattan", "count": 40}),
    "cost": Command(Intent.COST, {"drink": "Tidewrack"}),
    "menu": Command(Intent.COST, {"text": "menu"}),
}
REPLIES = {name: HANDLERS[c.intent](c, Scene(the_book(), frozenset(), Focus())).reply for name, c in COMMANDS.items()}
WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.DOTALL)


class Answering(FakeServices):
    """Answers by the names above."""

    def ask(self, heard: Heard | str, conversation: str, who: str = "", is_manager: bool = False) -> Reply:
        """The reply of that name."""
        return REPLIES[heard if isinstance(heard, str) else heard.text]


@dataclass(frozen=True)
class Printed:
    """The pages of a PDF: their size in points, and the words with their boxes."""

    pages: tuple[tuple[int, int, tuple[tuple[float, float, float, float, str], ...]], ...]

    def text(self, page: int | None = None) -> str:
        """The words of one page, or of all."""
        return " ".join(word[-1] for at, (_, _, words) in enumerate(self.pages) if page in (None, at) for word in words)


@pytest.fixture(scope="module")
def printer() -> Iterator[Running]:
    """A server of those replies."""
    with serving(Answering()) as running:
        yield running


def printed(browser: Browser, printer: Running, folder: Path, name: str, paper: str) -> Printed:
    """The page printed with that reply on it."""
    page = browser.new_page()
    page.goto(printer.address)
    page.fill("#words", name)
    page.press("#words", "Enter")
    page.wait_for_selector(".card")
    file = folder / f"{name}-{paper}.pdf"
    page.pdf(path=file, format=paper)
    page.close()
    boxes = subprocess.run(["pdftotext", "-bbox", str(file), "-"], capture_output=True, text=True, check=True).stdout
    return Printed(
        tuple(
            (
                round(float(width)),
                round(float(height)),
                tuple((*map(float, box), word) for *box, word in WORD.findall(body)),
            )
            for width, height, body in PAGE.findall(boxes)
        )
    )


@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize("name", COMMANDS)
def test_each_sheet_comes_out_whole(browser: Browser, printer: Running, tmp_path: Path, name: str, paper: str) -> None:
    """Every line of the card, nothing of the page around it, all of it inside the margins of the paper."""
    out = printed(browser, printer, tmp_path, name, paper)
    for width, height, words in out.pages:
        assert (width, height) == pytest.approx(PAPER[paper], abs=1)
        assert words, "a page with nothing on it"
        for left, top, right, bottom, word in words:
            assert min(left, top, width - right, height - bottom) >= LEAST_MARGIN, word
    text = out.text()
    assert not any(control in text for control in ("Hold", "Ask", "Print", "Undo", "type it"))
    card = REPLIES[name].card
    assert card is not None
    for block in card.blocks:
        for row in block.rows if isinstance(block, Table) else ():
            assert row.label.replace("'", "&apos;") in text or row.label in text, row.label


def test_a_spec_card_is_one_sheet_to_be_read_at_arm_s_length(
    browser: Browser, printer: Running, tmp_path: Path
) -> None:
    """Its amounts are set in letters of 16 points or more; its cautions are on it."""
    out = printed(browser, printer, tmp_path, "spec", "A4")
    assert len(out.pages) == 1
    heights = [bottom - top for _, top, _, bottom, word in out.pages[0][2] if word == "gin"]
    assert max(heights) >= 16
    assert "egg" in out.text()


def test_a_label_stands_on_a_sheet_of_its_own(browser: Browser, printer: Running, tmp_path: Path) -> None:
    """Drink, contents, strength, allergens and dates, at the head of the second page."""
    out = printed(browser, printer, tmp_path, "batch", "Letter")
    assert out.text(1).startswith("Drink Manhattan")
    assert "Discard" not in out.text(0)
    assert all(word in out.text(1) for word in ("Contents", "Strength", "Allergens", "Made", "Discard"))


def test_a_long_report_has_its_heads_on_every_sheet(browser: Browser, printer: Running, tmp_path: Path) -> None:
    """Whoever holds page two knows which column is which."""
    out = printed(browser, printer, tmp_path, "menu", "A4")
    assert len(out.pages) >= 2
    for at in range(len(out.pages)):
        assert "pour cost" in out.text(at)
        assert "margin" in out.text(at)
