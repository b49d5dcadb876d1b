"""Lists on the page: columns named, names matched, faults told by line, all taken or none, undone; and links out."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from assistant.services import Services
from tests.assistant.served import serving

ODD = """Harbour Provisions;;
;;
Was;Wieviel;Kostet
Gin;6 x 700 ml;168,00
Old Tom London Gin;700 ml;25,20
Beans;400 g;1,20
"""
FAULTY = "Item,Pack,Price\nGin,750 ml,20.00\nVodka,750 ml,soon\n"
PAPER = {"A4": (595, 842), "Letter": (612, 792)}  # points: ISO 216; ANSI/ASME Y14.1
LEAST_MARGIN = 30  # points
FIELDS_OF_DOTS = """() => {
  const [, x, y] = document.querySelector('.plot-line').getAttribute('d').match(/^M([\\d.]+) 0V.*M0 ([\\d.]+)H/);
  const field = circle => [circle.getAttribute('cx') >= +x, circle.getAttribute('cy') <= +y];
  return Object.fromEntries([...document.querySelectorAll('.plot-dot')].map(
    dot => [dot.querySelector('title').textContent, field(dot.querySelector('circle'))]));
}"""
WORD = re.compile(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>')
SHEET = re.compile(r'<page width="([\d.]+)" height="([\d.]+)">(.*?)</page>', re.DOTALL)


@pytest.fixture
def services(tmp_path: Path) -> Iterator[Services]:
    """The assistant with the book that ships."""
    services = Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}")
    yield services
    services.close()


@pytest.fixture
def address(services: Services) -> Iterator[str]:
    """Where it is served."""
    with serving(services) as running:
        yield running.address


@pytest.fixture(params=[(390, 844), (1024, 768)], ids=["phone", "tablet"])
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page, on a phone and on a tablet."""
    width, height = request.param
    page = browser.new_page(viewport={"width": width, "height": height})
    yield page
    page.close()


def give(page: Page, text: str, name: str = "list.csv") -> None:
    """Choose a file, and wait until it is shown."""
    with page.expect_response("**/api/office/lists/**"):
        page.set_input_files("#file", {"name": name, "mimeType": "text/csv", "buffer": text.encode("cp1252")})


def name_column(page: Page, number: int, what: str) -> None:
    """Say what a column holds."""
    with page.expect_response("**/api/office/lists/**"):
        page.get_by_label(f"Column {number}", exact=True).select_option(label=what)


def test_a_strange_list_is_named_matched_taken_and_undone(
    page: Page, address: str, services: Services, keep_shot: Callable[[Page, str], None]
) -> None:
    """Headings in words that nobody knows: named by hand, shown, taken whole, taken back whole."""
    width = page.viewport_size["width"] if page.viewport_size else 0
    page.goto(f"{address}office/lists")
    give(page, ODD)
    expect(page.locator("#said")).to_contain_text("I found no heading that names the columns I need.")
    expect(page.locator("#take")).to_be_hidden()
    name_column(page, 1, "the name")
    name_column(page, 2, "the pack")
    name_column(page, 3, "the price")
    expect(page.locator("#said")).to_contain_text("One price would change. Press Take it to make it so.")
    expect(page.locator("#near")).to_contain_text("Old Tom London Gin")
    keep_shot(page, f"lists-shown-{width}")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), "the table scrolls, not the page"
    with page.expect_response("**/api/office/lists/**"):
        page.get_by_label("Old Tom London Gin").select_option("old tom gin")
    expect(page.locator("#said")).to_contain_text("Two prices would change.")
    assert services.memory.trail() == (), "what is only shown changes nothing"
    page.get_by_role("button", name="Take it").click()
    expect(page.locator("#told")).to_contain_text("Two prices changed.")
    assert {entry.name for entry in services.memory.trail() if entry.kind == "price"} == {"gin", "old tom gin"}
    page.locator("#told").get_by_role("button", name="Undo").click()
    expect(page.locator("#told")).to_contain_text("are taken back")
    assert services.memory.recall().prices == {}
    assert services.memory.recall().supplied == {}


def test_a_line_with_a_fault_is_told_by_its_number(page: Page, address: str, services: Services) -> None:
    """There is nothing to press that would take the rest."""
    page.goto(f"{address}office/lists")
    give(page, FAULTY)
    expect(page.locator("#card")).to_contain_text("line 3")
    expect(page.locator("#card")).to_contain_text('"soon" is no price. Write a number.')
    expect(page.locator("#take")).to_be_hidden()
    assert services.memory.trail() == ()


def test_sales_and_recipes_go_the_same_way(page: Page, address: str, services: Services) -> None:
    """Counted for the menu engineering; and recipes in JSON-LD, with what cannot be read told."""
    page.goto(f"{address}office/lists")
    page.locator(".pill", has_text="what the till sold").click()
    give(page, "Item,Qty\nGimlet,61\nDaiquiri,44\n")
    page.get_by_role("button", name="Take it").click()
    expect(page.locator("#told")).to_contain_text("One hundred and five sales of two drinks.")
    assert services.memory.recall().sold == {"Gimlet": 61, "Daiquiri": 44}
    page.locator(".pill", has_text="recipes").click()
    give(page, '[{"@type": "Recipe", "name": "Strange", "recipeIngredient": ["1 oz moon dust"]}]', "recipes.json")
    expect(page.locator("#said")).to_contain_text("One recipe cannot be read in full and is left out.")
    expect(page.locator("#card")).to_contain_text("The book has no moon dust.")
    expect(page.locator("#take")).to_be_hidden()


def test_the_menu_is_seen_in_its_four_fields(page: Page, address: str, services: Services) -> None:
    """After the till's list: a dot for each drink, right of one line if it is popular, above the other if it earns."""
    page.goto(f"{address}office/lists")
    page.locator(".pill", has_text="what the till sold").click()
    give(page, "Item,Qty\nGimlet,61\nManhattan,50\nSidecar,9\nSouthside,3\n")
    page.get_by_role("button", name="Take it").click()
    expect(page.locator("#told")).to_contain_text("sales of four drinks")
    page.goto(address)
    page.fill("#words", "show the menu engineering")
    page.press("#words", "Enter")
    page.wait_for_selector(".plot")
    seen = page.evaluate(FIELDS_OF_DOTS)
    assert seen == {
        "Gimlet": [True, False],
        "Manhattan": [True, True],
        "Sidecar": [False, True],
        "Southside": [False, False],
    }
    assert page.locator(".plot-names li").count() == 4
    assert page.evaluate("document.querySelector('.plot').getBoundingClientRect().right <= innerWidth")


def test_everything_is_taken_along_by_a_link(page: Page, address: str) -> None:
    """Each link gives a file of its name."""
    page.goto(f"{address}office/lists")
    links = page.locator(".exports a")
    assert links.count() == 6
    for at in range(links.count()):
        with page.expect_download() as loaded:
            links.nth(at).click()
        assert loaded.value.suggested_filename == links.nth(at).inner_text()


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
@pytest.mark.parametrize("paper", PAPER)
@pytest.mark.parametrize(
    ("path", "words", "not_printed"),
    [
        ("office", ("Classics", "Gimlet", "aquavit", "Tidewrack"), ("New drink", "Find", "Make this book ours")),
        (
            "office/drink?name=Tidewrack",
            ("Tidewrack", "equal-part sour", "Gross margin", "Allergens"),
            ("Keep", "Remove"),
        ),
        ("office/history", ("History of the book",), ("Behind the bar",)),
    ],
)
def test_the_manager_s_pages_print(
    browser: Browser,
    address: str,
    tmp_path: Path,
    paper: str,
    path: str,
    words: tuple[str, ...],
    not_printed: tuple[str, ...],
) -> None:
    """The list of the book, and what a drink would be, inside the margins and without anything to press."""
    page = browser.new_page()
    page.goto(f"{address}{path}")
    if "name" in path:
        page.wait_for_selector("#live .card")
    file = tmp_path / "page.pdf"
    page.pdf(path=file, format=paper)
    page.close()
    boxes = subprocess.run(["pdftotext", "-bbox", str(file), "-"], capture_output=True, text=True, check=True).stdout
    printed = []
    for width, height, body in SHEET.findall(boxes):
        assert (float(width), float(height)) == pytest.approx(PAPER[paper], abs=1)
        for left, top, right, bottom, word in WORD.findall(body):
            edges = float(left), float(top), float(width) - float(right), float(height) - float(bottom)
            assert min(edges) >= LEAST_MARGIN, word
            printed.append(word)
    text = " ".join(printed)
    assert [word for word in words if word not in text] == []
    assert [word for word in not_printed if word in text] == []
