"""Everyone can use the page: without colour, with a screen reader, by keyboard alone, at twice the size."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from assistant.services import Services
from assistant.web.certificate import certificate_for
from assistant.web.devices import Devices
from assistant.web.pairing import Pairing
from tests.assistant.canned import CANNED
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving
from tests.browser.test_sizes import WIDER, show

SERIOUS = {"serious", "critical"}
QUESTIONS = {"nothing yet": "", "not understood": "lovely weather"} | {text: text for text in CANNED}
OFFICE = {
    "the book": "office",
    "a drink": "office/drink?name=Gimlet",
    "a new drink": "office/drink",
    "an ingredient": "office/ingredient?name=gin",
    "the history": "office/history",
    "lists": "office/lists",
}
ZOOMED = {"wall": (960, 540), "laptop": (640, 400), "tablet": (512, 384), "tablet-upright": (384, 512)}  # at 200 %
FOCUSABLE = """() => [...document.querySelectorAll('button, input, select, textarea, a[href], [tabindex="0"]')]
  .filter(part => part.checkVisibility() && !part.disabled)
  .map(part => part.id || part.textContent.trim())"""
OUT_OF_REACH = """() => [...document.querySelectorAll('button, input, h1, h2, .cautions li, .figure, .steps li')]
  .filter(part => part.checkVisibility())
  .filter(part => {
    part.scrollIntoView({ block: 'start', inline: 'start' });
    const { left, top, width, height } = part.getBoundingClientRect();
    return !part.contains(document.elementFromPoint(left + Math.min(width, 40) / 2, top + Math.min(height, 30) / 2));
  })
  .map(part => part.outerHTML.slice(0, 80))"""
FOCUSED = """() => { const part = document.activeElement, style = getComputedStyle(part);
  if (part === document.body) return ['', true]; // round the end
  return [part.id || part.textContent.trim(), style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2] }"""


def complaints(page: Page) -> list[str]:
    """What axe-core finds that is serious or worse, one line each."""
    found: list[dict[str, Any]] = Axe().run(page).response["violations"]
    return [
        f"{fault['id']}: {node['html'][:120]} {node['failureSummary'][:200]}"
        for fault in found
        if fault["impact"] in SERIOUS
        for node in fault["nodes"]
    ]


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Where canned replies are served to all tests here."""
    with serving(FakeServices()) as running:
        yield running.address


@pytest.fixture(params=[(1024, 768), (390, 844)], ids=["tablet", "phone"])
def page(request: pytest.FixtureRequest, browser: Browser, address: str) -> Iterator[Page]:
    """The page, in a browser that knows nothing yet."""
    width, height = request.param
    context = browser.new_context(viewport={"width": width, "height": height})
    opened = context.new_page()
    opened.goto(address)
    yield opened
    context.close()


@pytest.mark.parametrize("name", QUESTIONS)
def test_axe_finds_nothing_serious_in_any_reply(page: Page, name: str) -> None:
    """Names, roles, contrast, order: axe-core has no serious complaint, whatever is on the page."""
    show(page, QUESTIONS[name])
    assert complaints(page) == []


def test_axe_finds_nothing_serious_while_the_server_is_away(page: Page) -> None:
    """Also not in what stands there when nothing works."""
    page.route("**/api/**", lambda route: route.abort())
    page.fill("#words", "next")
    page.press("#words", "Enter")
    expect(page.locator("#state-word")).to_have_text("Away")
    assert complaints(page) == []


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Where the whole assistant is served, on a book of its own."""
    folder = tmp_path_factory.mktemp("office")
    book = Path(shutil.copytree(str(files("recipes") / "book"), folder / "book"))
    services = Services(book, f"sqlite:///{folder / 'shift.db'}")
    with serving(services) as running:
        yield running.address
    services.close()


@pytest.mark.parametrize("name", OFFICE)
def test_axe_finds_nothing_serious_on_the_manager_s_pages(browser: Browser, office: str, name: str) -> None:
    """The book's list, its forms, its history and the lists."""
    page = browser.new_page(viewport={"width": 1024, "height": 768})
    page.goto(office + OFFICE[name])
    expect(page.locator("h1")).to_be_visible()
    found = complaints(page)
    page.close()
    assert found == []


def test_axe_finds_nothing_serious_where_the_code_is_given(browser: Browser, tmp_path: Path) -> None:
    """The page that a phone sees first, before and after a wrong code."""
    pairing = Pairing(Devices(tmp_path / "devices.json"))
    with serving(FakeServices(), certificate=certificate_for("127.0.0.1", tmp_path), pairing=pairing) as running:
        page = browser.new_page(ignore_https_errors=True, viewport={"width": 390, "height": 844})
        page.goto(running.address)
        before = complaints(page)
        page.fill("#code", "222222")
        page.press("#code", "Enter")
        expect(page.locator("#told")).to_contain_text("not the code")
        after = complaints(page)
        page.close()
    assert (before, after) == ([], [])


# By keyboard alone


def tabbed(page: Page, most: int = 60) -> list[tuple[str, bool]]:
    """What Tab reaches from the top of the page, each once, and whether its focus can be seen."""
    reached: list[tuple[str, bool]] = []
    page.evaluate("document.activeElement.blur()")
    for _ in range(most):
        page.keyboard.press("Tab")
        name, seen = page.evaluate(FOCUSED)
        if (name, seen) in reached:
            break
        reached.append((name, seen))
    return reached


@pytest.mark.parametrize("name", QUESTIONS)
def test_tab_reaches_every_control_and_shows_where_it_is(page: Page, name: str) -> None:
    """Nothing that can be pressed, typed in or scrolled is out of the keyboard's reach, and the focus has a ring."""
    show(page, QUESTIONS[name])
    reached = tabbed(page)
    assert set(page.evaluate(FOCUSABLE)) <= {name for name, _ in reached}
    assert [name for name, seen in reached if not seen] == []


def test_a_whole_talk_by_keyboard(page: Page) -> None:
    """Ask, answer the question back, undo, mute, and go back to the examples, with no pointer."""

    def tab_to(name: str) -> None:
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate(FOCUSED)[0] == name:
                return
        pytest.fail(f"Tab never came to {name}")

    tab_to("words")
    page.keyboard.type("a daisy")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Brandy Daisy")).to_be_visible()
    tab_to("Brandy Daisy")
    page.keyboard.press("Enter")
    expect(page.locator("#choices")).to_be_hidden()
    tab_to("words")
    page.keyboard.type("we are out of orgeat")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Undo that")).to_be_visible()
    tab_to("Undo that")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Undo that")).to_be_hidden()
    tab_to("mute")
    page.keyboard.press("Enter")
    expect(page.get_by_role("button", name="Voice off")).to_be_visible()
    tab_to("home")
    page.keyboard.press("Enter")
    expect(page.locator("#examples-title")).to_be_visible()


# By a screen reader


def test_a_screen_reader_is_told_what_a_screen_shows(page: Page) -> None:
    """The sentence is announced; the card has a heading, its rows have heads, and a warning says that it is one."""
    show(page, "we are out of orgeat")
    expect(page.locator("#told")).to_have_attribute("aria-live", "polite")
    expect(page.locator("#told")).to_contain_text(CANNED["we are out of orgeat"].say)
    card = page.get_by_role("region", name="Card")
    expect(card.get_by_role("heading", level=1)).to_be_visible()
    for row in card.locator("tbody tr").all():
        assert row.get_by_role("rowheader").count() == 1


def test_trouble_is_announced_and_not_only_shown(page: Page) -> None:
    """When the server is away, the same words go to the screen and to who cannot see it."""
    page.route("**/api/**", lambda route: route.abort())
    page.fill("#words", "next")
    page.press("#words", "Enter")
    expect(page.locator("#told")).to_contain_text("not answering")
    expect(page.get_by_role("status").first).to_contain_text("Away")


# Without colour


def test_no_tone_is_told_by_colour_alone(page: Page) -> None:
    """What warns, and what is good, has a mark with a name; what is unknown is a word."""
    seen = set()
    for question in CANNED:
        show(page, question)
        for tone, name in (("warn", "caution"), ("good", "good")):
            for part in page.locator(f".card tr.tone-{tone}, .card p.tone-{tone}").all():
                expect(part.get_by_role("img", name=name)).to_be_visible()
                seen.add(tone)
        for figure in page.locator(".card .figure.unknown").all():
            assert figure.inner_text().strip()
    assert "warn" in seen


def test_every_state_has_a_shape_and_a_word_of_its_own(page: Page) -> None:
    """Ready, listening, thinking and the rest differ in what is drawn and said, whatever their colours."""
    seen = set()
    for state in ("ready", "opening", "listening", "thinking", "speaking", "away"):
        page.evaluate("state => { document.body.dataset.state = state }", state)
        drawn = page.evaluate(
            "() => [...document.querySelectorAll('.shape > *')].map(s => getComputedStyle(s).display)"
        )
        seen.add(tuple(drawn))
        assert sum(display != "none" for display in drawn) == 1
    assert len(seen) == 6


@pytest.mark.parametrize("name", QUESTIONS)
def test_it_can_be_used_in_the_reader_s_own_colours(browser: Browser, address: str, name: str) -> None:
    """With forced colours every control keeps an edge, so that it can be told from text."""
    context = browser.new_context(viewport={"width": 1024, "height": 768}, forced_colors="active")
    page = context.new_page()
    page.goto(address)
    show(page, QUESTIONS[name])
    bare = page.evaluate("""() => [...document.querySelectorAll('button, input')].filter(p => p.checkVisibility())
      .filter(p => parseFloat(getComputedStyle(p).borderTopWidth) < 1).map(p => p.outerHTML.slice(0, 80))""")
    context.close()
    assert bare == []


# At twice the size


@pytest.mark.parametrize("size", ZOOMED)
@pytest.mark.parametrize("name", QUESTIONS)
def test_at_twice_the_size_nothing_is_lost(browser: Browser, address: str, size: str, name: str) -> None:
    """A browser's zoom of 200 % halves the room: everything is still in view, or can be scrolled to."""
    width, height = ZOOMED[size]
    context = browser.new_context(viewport={"width": width, "height": height}, device_scale_factor=2)
    page = context.new_page()
    page.goto(address)
    show(page, QUESTIONS[name])
    wider, hidden = page.evaluate(WIDER), page.evaluate(OUT_OF_REACH)
    context.close()
    assert (wider, hidden) == ([], [])
