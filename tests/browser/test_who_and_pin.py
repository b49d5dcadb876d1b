"""Who is speaking, and the manager's PIN, as people meet them on the page."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

import recipes
from assistant.answers.pins import NEEDED
from assistant.pin import Work
from assistant.services import Services
from tests.assistant.served import serving
from tests.browser.typing_to_it import ask

PIN = "482913"
COST = "what does a gimlet cost"
NOON = datetime(2024, 3, 4, 12, 0, tzinfo=UTC)


@pytest.fixture
def services(tmp_path: Path) -> Iterator[Services]:
    """The real assistant, in a house that hides its costs."""
    folder = tmp_path / "book"
    shutil.copytree(Path(recipes.__file__).parent / "book", folder)
    file = folder / "house.toml"
    file.write_text(file.read_text("utf-8").replace("pin_also_for = []", 'pin_also_for = ["costs"]'), "utf-8")
    with closing(Services(folder, f"sqlite:///{tmp_path / 'shift.db'}", lambda: NOON)) as services:
        services.manager._work = Work(2, 1, 1)
        yield services


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """One device."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    yield context
    context.close()


@pytest.fixture
def page(context: BrowserContext, services: Services) -> Iterator[Page]:
    """The page on a phone."""
    with serving(services) as running:
        opened = context.new_page()
        opened.goto(running.address)
        yield opened
        opened.close()


def type_pin(page: Page, digits: str) -> str:
    """Type it into the window that is open; what the window says."""
    page.fill("#pin", digits)
    with page.expect_response(re.compile("/api/pin/(un)?(lock|set)")) as answered:
        page.press("#pin", "Enter")
    answer = answered.value.json()
    said = str(answer.get("error") or answer["say"])
    expect(page.locator("#pin-said")).to_have_text(said)
    return said


def test_the_first_pin_is_set_on_the_page_and_then_unlocks_it(
    page: Page, services: Services, keep_shot: Callable[[Page, str], None]
) -> None:
    """From the refusal one press leads to where it is typed; once unlocked, the page says so and shows the cost."""
    ask(page, COST)
    page.get_by_role("button", name="Type the PIN").click()
    expect(page.locator("#pin-does")).to_have_text("Set a PIN")
    assert "guessed at once" in type_pin(page, "123456")
    assert type_pin(page, PIN).startswith("The PIN is set.")
    expect(page.locator("#pin-does")).to_have_text("Unlock")
    assert type_pin(page, "482914") == "That is not the PIN. Try again, or ask the manager."
    keep_shot(page, "pin-wrong")
    assert "thirty minutes" in type_pin(page, PIN)
    keep_shot(page, "pin-unlocked")
    page.click("#people-close")
    expect(page.locator("#who-word")).to_have_text("manager")
    assert ask(page, COST).startswith("The Gimlet costs ")
    assert services.manager.has_pin()


class TestLocking:
    """What the manager saw goes when the manager goes."""

    @pytest.fixture(autouse=True)
    def unlocked(self, page: Page, services: Services) -> None:
        """A page that is unlocked and shows a cost."""
        services.manager.set_pin(PIN)
        page.reload()
        page.click("#who")
        expect(page.locator("#pin-does")).to_have_text("Unlock")
        type_pin(page, PIN)
        page.click("#people-close")
        ask(page, COST)
        expect(page.locator(".card")).to_contain_text("Gross margin")

    @pytest.mark.parametrize("way", ["pressed", "typed"])
    def test_the_cost_leaves_the_screen(self, page: Page, way: str) -> None:
        """Whether lock is pressed or said; what is asked next is refused, in words that say what to do."""
        if way == "pressed":
            page.click("#who")
            page.click("#lock")
            page.click("#people-close")
        else:
            ask(page, "lock the page")
        expect(page.locator("#who-word")).to_have_text("Who?")
        assert "margin" not in page.inner_text("body")
        assert ask(page, COST) == NEEDED
        assert ask(page, "say that again") == NEEDED

    def test_the_cost_does_not_come_back_with_the_page(self, page: Page, context: BrowserContext) -> None:
        """A page loaded anew shows its last card, but none of the manager's; the PIN is kept by no page at all."""
        page.reload()
        expect(page.locator("#who-word")).to_have_text("manager")
        assert page.locator(".card").count() == 0
        context.clear_cookies()
        page.reload()
        expect(page.locator("#who-word")).to_have_text("Who?")
        assert "Gross margin" not in page.inner_text("body")
        kept = page.evaluate("JSON.stringify([{ ...localStorage }, { ...sessionStorage }, document.cookie])")
        assert PIN not in kept
        assert "margin" not in kept

    def test_when_the_time_is_over_it_goes_by_itself(self, page: Page) -> None:
        """Nobody need remember to lock the wall screen."""
        page.clock.install()
        page.reload()
        expect(page.locator("#who-word")).to_have_text("manager")
        ask(page, COST)
        page.clock.fast_forward("30:01")
        expect(page.locator("#who-word")).to_have_text("Who?")
        assert "Gross margin" not in page.inner_text("body")

    @pytest.mark.skipif(shutil.which("pdftotext") is None, reason="poppler-utils is not installed")
    def test_it_is_not_printed_either(self, page: Page, tmp_path: Path) -> None:
        """What the paper has is what the screen has."""
        assert "Gross margin" in printed(page, tmp_path / "before.pdf")
        ask(page, "lock the page")
        ask(page, COST)
        after = printed(page, tmp_path / "after.pdf")
        assert "That needs the manager's PIN" in re.sub(r"\s+", " ", after)
        assert "$" not in after


def printed(page: Page, file: Path) -> str:
    """What the page prints as a PDF on A4."""
    page.pdf(path=file, format="A4")
    return subprocess.run(["pdftotext", "-layout", str(file), "-"], capture_output=True, text=True, check=True).stdout


def test_a_name_that_is_known_is_picked(page: Page, services: Services) -> None:
    """Whoever was here before presses their name; the device remembers it."""
    services.ask("spec for a gimlet", "tablet", "Sam")
    page.reload()
    page.click("#who")
    page.get_by_role("button", name="Sam", exact=True).click()
    expect(page.locator("#people")).to_be_hidden()
    expect(page.locator("#who-word")).to_have_text("Sam")
    ask(page, "we're out of mint")
    assert services.memory.history("out", "mint")[0].who == "Sam"
    page.reload()
    expect(page.locator("#who-word")).to_have_text("Sam")


def test_the_window_is_left_by_the_escape_key(page: Page) -> None:
    """And by keyboard alone it is opened, filled in and closed."""
    page.focus("#who")
    page.keyboard.press("Enter")
    expect(page.locator("#name")).to_be_focused()
    page.keyboard.press("Escape")
    expect(page.locator("#people")).to_be_hidden()
    expect(page.locator("#who")).to_be_focused()


def test_who_changed_what_is_read_on_the_page(
    page: Page, services: Services, keep_shot: Callable[[Page, str], None]
) -> None:
    """With the PIN, since it tells prices in a house that hides them."""
    services.ask("vodka is nineteen dollars now", "office", "Kit", is_manager=True)
    services.manager.set_pin(PIN)
    assert ask(page, "who changed what") == NEEDED
    page.get_by_role("button", name="Type the PIN").click()
    type_pin(page, PIN)
    page.click("#people-close")
    assert ask(page, "who changed what").startswith("The last change was just now: Kit changed vodka.")
    expect(page.locator(".card")).to_contain_text("as in the book")
    keep_shot(page, "trail")


def test_a_name_is_not_lost_while_it_is_typed(page: Page) -> None:
    """How the PIN stands is told by a server that has much to do; what was typed meanwhile stays."""
    page.wait_for_load_state("networkidle")
    held: list[Route] = []
    page.route("**/api/pin", lambda route: held.append(route))
    page.click("#who")
    page.fill("#name", "Kit")
    with page.expect_response("**/api/pin"):
        held[0].continue_()
    expect(page.locator("#pin-does")).to_have_text("Set a PIN")
    page.press("#name", "Enter")
    expect(page.locator("#who-word")).to_have_text("Kit")
