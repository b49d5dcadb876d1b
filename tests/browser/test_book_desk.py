"""A manager edits the book on the page: a fault mended, a drink kept, asked for and undone; its file stays readable."""

from __future__ import annotations

import difflib
import re
import shutil
from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from assistant.services import Services
from tests.assistant.served import serving

SHIPPED = Path(str(files("recipes") / "book"))
SIZES = {"phone": (390, 844), "tablet": (1024, 768), "wall": (1920, 1080)}
WIDER = """() => [...document.querySelectorAll('body, main, form, .field, .live, .card, input, button, .pill')]
  .filter(part => part.checkVisibility() && part.getBoundingClientRect().right > innerWidth + 1)
  .map(part => part.outerHTML.slice(0, 80))"""
UNLABELLED = """() => [...document.querySelectorAll('main input, main select, main textarea')]
  .filter(control => control.checkVisibility() && !control.labels?.length && !control.getAttribute('aria-label'))
  .map(control => control.outerHTML.slice(0, 80))"""
SMALL = """() => [...document.querySelectorAll('main button, main select, .pill, nav a, main input:not(.pill input)')]
  .filter(part => part.checkVisibility() && part.getBoundingClientRect().height < 40)
  .map(part => part.outerHTML.slice(0, 80))"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the book that may be edited."""
    return Path(shutil.copytree(SHIPPED, tmp_path / "book"))


@pytest.fixture
def address(folder: Path, tmp_path: Path) -> Iterator[str]:
    """The assistant on that book."""
    services = Services(folder, f"sqlite:///{tmp_path / 'shift.db'}")
    with serving(services) as running:
        yield running.address
    services.close()


@pytest.fixture(params=SIZES)
def sized(browser: Browser, request: pytest.FixtureRequest) -> Iterator[tuple[str, Page]]:
    """A page at each size, and the size's name."""
    width, height = SIZES[request.param]
    page = browser.new_page(viewport={"width": width, "height": height})
    yield request.param, page
    page.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page at the size of a tablet."""
    page = browser.new_page(viewport={"width": 1024, "height": 768})
    yield page
    page.close()


def type_pours(page: Page, *lines: str) -> None:
    """Type the pours one after another, with Enter between them."""
    rows = page.locator("[data-rows=pours] li input")
    for at, line in enumerate(lines):
        rows.nth(at).fill(line)
        if at + 1 < len(lines):
            rows.nth(at).press("Enter")


def choose(page: Page, *words: str) -> None:
    """Press a choice by its words."""
    for word in words:
        page.locator(".pill", has_text=re.compile(f"^{word}$")).click()


def weighed(page: Page, act: Callable[[], object]) -> None:
    """Do something to the draft, and wait until it was weighed up."""
    with page.expect_response("**/api/office/weigh"):
        act()


def reading(page: Page, line: int) -> Locator:
    """What stands beside a pour."""
    return page.locator("[data-rows=pours] li").nth(line).locator("output")


def asked(page: Page, address: str, text: str) -> str:
    """What the bar's own page says to a typed question."""
    page.goto(address)
    page.fill("#words", text)
    with page.expect_response("**/api/ask") as answered:
        page.press("#words", "Enter")
    return str(answered.value.json()["say"])


def written_lines(old: str, new: str) -> list[str]:
    """The lines that differ, as a diff has them."""
    before, after = old.splitlines(), new.splitlines()
    differing = difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    return [
        line
        for what, a, b, c, d in differing
        if what != "equal"
        for line in (*(f"-{gone}" for gone in before[a:b]), *(f"+{come}" for come in after[c:d]))
    ]


def test_a_new_drink_with_a_fault_mended_kept_asked_for_and_undone(
    page: Page, address: str, folder: Path, keep_shot: Callable[[Page, str], None]
) -> None:
    """From an empty form to the bar, and back; the file is then what it was, to the letter."""
    page.goto(f"{address}office")
    page.get_by_role("link", name="New drink").click()
    page.get_by_label("Name", exact=True).fill("Harbour Lights")
    type_pours(page, "2 oz aged rum", "3/4 oz lime", "1/2 oz gingr syrup")
    choose(page, "shaken", "coupe", "none")
    page.get_by_label("Steps").fill("Shake with ice.\nStrain into a coupe.")
    weighed(page, lambda: page.get_by_label("Menu price").fill("thirteen"))
    expect(reading(page, 0)).to_have_text("2 oz aged rum, base")
    expect(reading(page, 2)).to_contain_text('No ingredient is called "gingr syrup". Write "ginger syrup".')
    expect(page.locator("#m-price")).to_have_text("'thirteen' is not a number. Write the menu price, as 13.00.")
    expect(page.get_by_label("Menu price")).to_have_attribute("aria-invalid", "true")
    keep_shot(page, "desk-faults")

    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#told")).to_contain_text("Nothing was written, since the book would not be sound.")
    assert (folder / "fogbell.toml").read_text("utf-8") == (SHIPPED / "fogbell.toml").read_text("utf-8")

    page.get_by_role("button", name="Write 3/4 oz lime juice").click()
    page.get_by_role("button", name="Write 1/2 oz ginger syrup").click()
    weighed(page, lambda: page.get_by_label("Menu price").fill("14"))
    expect(page.locator("#short")).to_contain_text("Nothing to mend.")
    live = page.locator("#live")
    expect(live).to_contain_text("sour")
    expect(live).to_contain_text("Pour cost")
    expect(live).to_contain_text("Against its family: sour")
    expect(live).to_contain_text("Allergens")
    expect(live).to_contain_text("Listens for: hahr-bur lights.")
    keep_shot(page, "desk-whole")

    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#told")).to_contain_text("Kept: the Harbour Lights is in the book.")
    old, new = ((where / "fogbell.toml").read_text("utf-8") for where in (SHIPPED, folder))
    assert new.startswith(old), "all that was there is there still"
    assert '\n  "1/2 oz ginger syrup",\n' in new
    assert asked(page, address, "spec for a harbour lights").startswith("Harbour Lights: two ounces aged rum")

    page.goto(f"{address}office/drink?name=Harbour%20Lights")
    weighed(page, lambda: page.get_by_label("Menu price").fill("15"))
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#told")).to_contain_text("is changed in the book")
    changed = (folder / "fogbell.toml").read_text("utf-8")
    assert written_lines(new, changed) == ["-price = 14.00", "+price = 15.00"]

    page.get_by_role("link", name="History").click()
    expect(page.locator(".edits > li").first).to_contain_text("price: 14.00 is now 15.00")
    keep_shot(page, "desk-history")
    page.get_by_role("button", name="Undo the change of Harbour Lights").first.click()
    expect(page.locator("#told")).to_contain_text("Undone. The Harbour Lights is as it was before.")
    assert (folder / "fogbell.toml").read_text("utf-8") == new
    page.locator(".edits > li", has_text="new in the book").get_by_role("button", name="Undo").click()
    expect(page.locator("#told")).to_contain_text("Undone. The Harbour Lights is out of the book again.")
    assert (folder / "fogbell.toml").read_text("utf-8") == old
    assert "Harbour Lights: two ounces" not in asked(page, address, "spec for a harbour lights")


def test_a_change_keeps_the_comments_of_the_file(page: Page, address: str, folder: Path) -> None:
    """What people wrote beside and above an entry stays; the diff has the changed lines alone."""
    file = folder / "fogbell.toml"
    commented = file.read_text("utf-8").replace(
        '  "3/4 oz gentian liqueur",', '  "3/4 oz gentian liqueur",  # the dry one\n  # cheapest in May'
    )
    file.write_text(commented.replace("price = 14.00", "price = 14.00  # since spring", 1), "utf-8")
    before = file.read_text("utf-8")
    page.goto(f"{address}office/drink?name=Tidewrack")
    page.locator("[data-rows=pours] li input").nth(3).fill("1/2 oz lime juice")
    weighed(page, lambda: page.get_by_label("Menu price").fill("14.50"))
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#told")).to_contain_text("Kept")
    assert written_lines(before, file.read_text("utf-8")) == [
        '-  "3/4 oz lime juice",',
        '+  "1/2 oz lime juice",',
        "-price = 14.00  # since spring",
        "+price = 14.50  # since spring",
    ]


def test_a_drink_is_taken_out_and_brought_back_and_what_is_used_stays(page: Page, address: str, folder: Path) -> None:
    """A press takes it out and offers to undo that; an ingredient that drinks pour is refused with their names."""
    page.goto(f"{address}office/ingredient?name=gin")
    page.get_by_role("button", name="Take out of the book").click()
    expect(page.locator("#told")).to_contain_text("Gin stays in the book, and nothing was changed")
    page.goto(f"{address}office/drink?name=Gimlet")
    page.get_by_role("button", name="Take out of the book").click()
    expect(page.locator("#told")).to_contain_text("The Gimlet is out of the book.")
    assert 'name = "Gimlet"' not in (folder / "classics.toml").read_text("utf-8")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#told")).to_contain_text("Undone. The Gimlet is in the book again.")
    assert 'name = "Gimlet"' in (folder / "classics.toml").read_text("utf-8")


def test_an_edit_by_hand_meanwhile_is_told_and_not_lost(page: Page, address: str, folder: Path) -> None:
    """The file changed while the form was open: nothing is written over, and what was typed is still there."""
    page.goto(f"{address}office/drink?name=Tidewrack")
    weighed(page, lambda: page.get_by_label("How it tastes").fill("Caraway, apricot, salt."))
    file = folder / "fogbell.toml"
    by_hand = file.read_text("utf-8").replace("price = 14.00", "price = 14.25", 1)
    file.write_text(by_hand, "utf-8")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#told")).to_contain_text("Tidewrack was changed in its file since you opened it")
    expect(page.get_by_label("How it tastes")).to_have_value("Caraway, apricot, salt.")
    assert file.read_text("utf-8") == by_hand


def test_by_keyboard_alone(page: Page, address: str) -> None:
    """Tab, Enter, space and arrows go through the whole form; a name that is offered is taken with Enter."""
    page.goto(f"{address}office/drink")
    page.get_by_label("Name", exact=True).focus()
    page.keyboard.type("Quay Sour")
    for _ in range(3):
        page.keyboard.press("Tab")
    page.keyboard.type("2 oz rye wh")
    expect(page.get_by_role("button", name="rye whiskey", exact=True)).to_be_visible()
    page.keyboard.press("Tab")  # an only line has no button that removes it
    expect(page.locator(":focus")).to_have_text("rye whiskey")
    page.keyboard.press("Enter")
    rows = page.locator("[data-rows=pours] li input")
    expect(rows.first).to_have_value("2 oz rye whiskey")
    page.keyboard.press("Enter")
    page.keyboard.type("3/4 oz lemon juice")
    expect(rows).to_have_count(2)
    page.get_by_role("radio", name="shaken").focus()
    page.keyboard.press("Space")
    expect(page.get_by_role("radio", name="shaken")).to_be_checked()
    page.keyboard.press("ArrowRight")
    expect(page.get_by_role("radio", name="stirred")).to_be_checked()


def test_a_pour_by_touch_alone(browser: Browser, address: str) -> None:
    """Amounts of the jigger and names of the book are pressed; hardly a letter is typed."""
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True)
    page.goto(f"{address}office/drink")
    row = page.locator("[data-rows=pours] li input").first
    row.tap()
    page.get_by_role("button", name="3/4 oz", exact=True).tap()
    expect(row).to_have_value("3/4 oz ")
    page.keyboard.type("lime")
    with page.expect_response("**/api/office/weigh"):
        page.get_by_role("button", name="lime juice", exact=True).tap()
    expect(row).to_have_value("3/4 oz lime juice")
    expect(reading(page, 0)).to_have_text("3/4 oz lime juice, acid")
    page.close()


def test_an_ingredient_that_nobody_looked_up_is_unknown(page: Page, address: str, folder: Path) -> None:
    """A new bottle with a price and no more: its cost is told at once, its allergens are unknown, never none."""
    page.goto(f"{address}office/ingredient")
    page.get_by_label("Goes with").select_option(label="Liqueurs, sweet and bitter")
    page.get_by_label("Name", exact=True).fill("rhubarb liqueur")
    page.get_by_label("What it does in a drink").select_option("liqueur")
    page.get_by_label("Pack", exact=True).fill("700 ml")
    weighed(page, lambda: page.get_by_label("Price of one").fill("21"))
    live = page.locator("#live")
    expect(live).to_contain_text("eighty-nine cents an ounce")
    expect(live).to_contain_text("allergens unknown for rhubarb liqueur")
    expect(live).to_contain_text("Unknown, and answered as unknown: strength, sugar, acid, density and bitterness.")
    page.get_by_role("button", name="Keep").click()
    expect(page.locator("#told")).to_contain_text("Kept: the rhubarb liqueur is in the book.")
    text = (folder / "ingredients/liqueurs.toml").read_text("utf-8")
    assert text.endswith('name = "rhubarb liqueur"\nrole = "liqueur"\npack = { size = "700 ml", price = 21.00 }\n')
    page.get_by_label("New price of one pack").fill("24.50")
    page.get_by_role("button", name="Take this price").click()
    expect(page.locator("#told")).to_contain_text("Rhubarb liqueur is now twenty-four dollars fifty")
    expect(page.locator("section.price")).to_contain_text("$24.50")
    page.locator("#told").get_by_role("button", name="Undo").click()
    expect(page.locator("#told")).to_contain_text("Undone.")


def test_a_name_that_is_another_s_or_sounds_like_it_is_told_beside_it(page: Page, address: str) -> None:
    """A name that the book has is a fault; one that is taken for another by ear is a warning."""
    page.goto(f"{address}office/drink")
    type_pours(page, "2 oz gin")
    weighed(page, lambda: page.get_by_label("Name", exact=True).fill("gimlet"))
    expect(page.locator("#m-name")).to_have_text(
        "The book calls the Gimlet by that name already. Give each name to one."
    )
    page.get_by_label("Name", exact=True).fill("Mud Lark")
    weighed(page, lambda: page.get_by_label("Sounds like").fill("gimlet"))
    expect(page.locator("#live")).to_contain_text("Said aloud it is taken for Gimlet.")
    page.get_by_label("Sounds like").fill("")
    weighed(page, lambda: page.get_by_label("Name", exact=True).fill("北"))
    expect(page.locator("#live")).to_contain_text("Nobody can say that aloud")


def test_a_new_drink_comes_from_where_its_shelf_does(page: Page, address: str) -> None:
    """Until somebody says otherwise; what was said stays."""
    page.goto(f"{address}office/drink")
    source = page.get_by_label("Where the recipe comes from")
    expect(source).to_have_value("fogbell")
    page.get_by_label("Shelf").select_option(label="Classics")
    expect(source).not_to_have_value("fogbell")
    source.select_option("fogbell")
    page.get_by_label("Shelf").select_option(label="The Fogbell")
    page.get_by_label("Shelf").select_option(label="Classics")
    expect(source).to_have_value("fogbell")


def test_what_is_typed_stays_while_the_pin_is_asked_for(page: Page, folder: Path, tmp_path: Path) -> None:
    """The half hour is over in the middle of a drink: the PIN is typed beside it, and the drink is kept."""
    services = Services(folder, f"sqlite:///{tmp_path / 'other.db'}")
    services.manager.set_pin("482913")
    with serving(services) as running:
        page.goto(f"{running.address}office/drink?name=Tidewrack")
        expect(page.locator("h1")).to_have_text("For the manager")
        page.get_by_label("PIN").fill("482914")
        page.get_by_role("button", name="Unlock").click()
        expect(page.locator("#told")).to_have_text("That is not the PIN. Try again, or ask the manager.")
        page.locator("#pin").fill("482913")
        page.get_by_role("button", name="Unlock").click()
        weighed(page, lambda: page.get_by_label("Menu price").fill("15"))
        page.context.clear_cookies()
        page.get_by_role("button", name="Keep").click()
        page.locator("#told").get_by_label("PIN").fill("482913")
        page.locator("#told").get_by_role("button", name="Unlock").click()
        expect(page.locator("#told")).to_contain_text("Press again what you pressed.")
        expect(page.get_by_label("Menu price")).to_have_value("15")
        page.get_by_role("button", name="Keep").click()
        expect(page.locator("#told")).to_contain_text("Kept: the Tidewrack is changed")
    services.close()


@pytest.mark.parametrize(
    "path", ["office", "office/drink?name=Tidewrack", "office/ingredient?name=orgeat", "office/history", "office/lists"]
)
def test_every_page_fits_its_screen(
    sized: tuple[str, Page], address: str, path: str, keep_shot: Callable[[Page, str], None]
) -> None:
    """Nothing is wider than the screen, every control has a label, and a thumb hits what it presses."""
    size, page = sized
    page.goto(f"{address}{path}")
    if "name" in path:
        page.wait_for_selector("#live .card")
    keep_shot(page, f"desk-{path.partition('?')[0].replace('/', '-')}-{size}")
    assert page.evaluate(WIDER) == []
    assert page.evaluate(UNLABELLED) == []
    assert page.evaluate(SMALL) == []


def test_the_book_that_ships_is_made_one_s_own_first(browser: Browser, tmp_path: Path) -> None:
    """It is never changed; a copy is made once, and the first edit goes there."""
    services = Services(None, f"sqlite:///{tmp_path / 'shift.db'}", own_book=tmp_path / "own" / "book")
    with serving(services) as running:
        page = browser.new_page()
        page.goto(f"{running.address}office/drink?name=Tidewrack")
        weighed(page, lambda: page.get_by_label("Menu price").fill("15"))
        page.get_by_role("button", name="Keep").click()
        expect(page.locator("#told")).to_contain_text("it is never changed. Make it your own first.")
        page.on("dialog", lambda dialog: dialog.accept())
        page.goto(f"{running.address}office")
        page.get_by_role("button", name="Make this book ours").click()
        expect(page.locator("#told")).to_contain_text("The book is yours now.")
        page.goto(f"{running.address}office/drink?name=Tidewrack")
        weighed(page, lambda: page.get_by_label("Menu price").fill("15"))
        page.get_by_role("button", name="Keep").click()
        expect(page.locator("#told")).to_contain_text("Kept: the Tidewrack is changed")
        page.close()
    services.close()
    assert "price = 15.00" in (tmp_path / "own/book/fogbell.toml").read_text("utf-8")
    again = Services(None, f"sqlite:///{tmp_path / 'shift.db'}", own_book=tmp_path / "own" / "book")
    price = again.book.drinks["Tidewrack"].price
    again.close()
    assert price is not None
    assert price.m_as("money") == 15
