"""The page at the sizes of a phone, a tablet and a wall screen: nothing cut off, and cards read from afar."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.assistant.canned import CANNED
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving

SIZES = {
    "small-phone": (320, 640),
    "phone": (390, 844),
    "phone-on-its-side": (844, 390),
    "tablet-upright": (768, 1024),
    "tablet": (1024, 768),
    "wall": (1920, 1080),
}
UNSCROLLED = {"tablet", "wall", "tablet-upright"}
QUESTIONS = {"nothing-yet": "", "not-understood": "lovely weather"} | {text.replace(" ", "-"): text for text in CANNED}

# At two metres a letter is read with ease when a small x is 20 minutes of arc high: 11.6 mm (common practice for signs
# is 15 to 25). On a 43-inch wall screen of 1920 by 1080 a pixel is 0.496 mm; an x is about half of the font size.
READABLE_PX = 2 * 11.6 / 0.496 * 0.95

CUT_OFF = """room => [...document.querySelectorAll('button, input, .card-title, .figure, .say, .caution, li, h2')]
  .filter(part => part.checkVisibility() && !part.closest('.room, .words, .examples, .cautions'))
  .map(part => ({ part: part.outerHTML.slice(0, 80), box: part.getBoundingClientRect() }))
  .filter(({ box }) => box.left < -1 || box.top < -1 || box.right > innerWidth - 4 || box.bottom > innerHeight + 1)
  .map(({ part }) => part)"""
WIDER = """() => [...document.querySelectorAll('body, .stage, .room, .words, .cautions, .examples, button, .card *')]
  .filter(part => part.checkVisibility() && part.scrollWidth > part.clientWidth + 1 && part.clientWidth > 1)
  .filter(part => !part.closest('.scrolls') && getComputedStyle(part).display !== 'inline')
  .map(part => part.outerHTML.slice(0, 80))"""
HIDDEN = "() => { const reply = document.querySelector('.reply'); return reply.scrollHeight > reply.clientHeight + 1 }"
SCROLLS = "() => { const room = document.getElementById('room'); return room.scrollHeight > room.clientHeight + 1 }"


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Where canned replies are served to all tests here."""
    with serving(FakeServices()) as running:
        yield running.address


@pytest.fixture(scope="module", params=SIZES)
def sized(request: pytest.FixtureRequest, browser: Browser, address: str) -> Iterator[tuple[str, Page]]:
    """The page at one size, and the name of the size."""
    width, height = SIZES[request.param]
    page = browser.new_page(viewport={"width": width, "height": height})
    page.goto(address)
    yield request.param, page
    page.close()


def show(page: Page, question: str) -> None:
    """Ask by typing, and wait until the reply is on the page."""
    if not question:
        page.evaluate("sessionStorage.clear()")
        page.reload()
        return
    page.fill("#words", question)
    with page.expect_response("**/api/ask"):
        page.press("#words", "Enter")
    page.wait_for_selector("body[data-view=reply][data-state=ready] .card")


@pytest.mark.parametrize("name", QUESTIONS)
def test_nothing_is_cut_off(sized: tuple[str, Page], name: str, keep_shot: Callable[[Page, str], None]) -> None:
    """Every control and every caution is in view, and nothing is wider than its place."""
    size, page = sized
    show(page, QUESTIONS[name])
    keep_shot(page, f"{size}-{name}")
    assert page.evaluate(CUT_OFF) == []
    assert page.evaluate(WIDER) == []
    assert not page.evaluate(HIDDEN)
    if size in UNSCROLLED:
        assert not page.evaluate(SCROLLS)


def test_a_spec_on_the_wall_is_read_at_two_metres(browser: Browser, address: str) -> None:
    """The letters of a five-line spec with its steps and two cautions are tall enough for a reader two metres away."""
    page = browser.new_page(viewport={"width": 1920, "height": 1080})
    page.goto(address)
    show(page, "spec for a clover club")
    size = page.eval_on_selector(".amounts th", "line => parseFloat(getComputedStyle(line).fontSize)")
    page.close()
    assert size >= READABLE_PX
