"""The network comes and goes, and so do devices: the page says how it stands, and finds its own way back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from assistant.web.certificate import certificate_for
from assistant.web.devices import Devices
from assistant.web.pairing import Pairing
from assistant.web.server import Running
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving
from tests.browser.test_page import ask, free_port, state

MINUTE_S, EVERY_S = 60, 2


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A browser that knows nothing yet, and whose clock the test turns."""
    opened = browser.new_context(viewport={"width": 1024, "height": 768})
    opened.clock.install()
    yield opened
    opened.close()


def with_a_card(context: BrowserContext, server: Running) -> Page:
    """The page with an answer on it."""
    page = context.new_page()
    page.goto(server.address)
    ask(page, "spec for a clover club")
    expect(page.locator(".card-title")).to_have_text("Clover Club")
    state(page, "Ready")
    return page


def pass_time(page: Page, seconds: int) -> None:
    """Let time go by, with room for what is sent meanwhile."""
    for _ in range(0, seconds, EVERY_S):
        page.clock.run_for(1000 * EVERY_S)


def test_the_network_is_pulled_for_a_minute(context: BrowserContext, server: Running) -> None:
    """The page says so by itself and keeps its card the whole minute; plugged in again it is ready, and answers."""
    page = with_a_card(context, server)
    context.set_offline(True)
    state(page, "Away")
    for _ in range(3):
        pass_time(page, MINUTE_S // 3)
        state(page, "Away")
        expect(page.locator("#say")).to_contain_text("not answering")
        expect(page.locator(".card-title")).to_have_text("Clover Club")
    context.set_offline(False)
    pass_time(page, 2 * EVERY_S)
    state(page, "Ready")
    expect(page.locator("#say")).to_contain_text("back")
    expect(page.locator(".card-title")).to_have_text("Clover Club")
    ask(page, "how much lemon")
    expect(page.locator(".card")).to_have_attribute("data-kind", "amount")


def test_a_server_that_goes_while_nobody_asks_is_missed(context: BrowserContext, services: FakeServices) -> None:
    """A card on the wall does not look alive when nothing is behind it: within a quarter of a minute it is said."""
    port = free_port()
    with serving(services, port) as server:
        page = with_a_card(context, server)
    pass_time(page, 16)
    state(page, "Away")
    with serving(services, port):
        pass_time(page, 2 * EVERY_S)
        state(page, "Ready")
        expect(page.locator(".card-title")).to_have_text("Clover Club")


def test_a_network_that_swallows_what_is_sent_is_no_network(context: BrowserContext, server: Running) -> None:
    """At the edge of the reception nothing fails and nothing comes: after three seconds that counts as away."""
    page = with_a_card(context, server)
    page.route("**/api/health", lambda route: None)
    page.evaluate("dispatchEvent(new Event('offline'))")
    state(page, "Away")
    page.unroute("**/api/health")
    page.wait_for_timeout(3_500)  # the browser's own limit for a request, which no test's clock turns
    pass_time(page, 2 * EVERY_S)
    state(page, "Ready")


def test_asking_while_it_is_away_asks_as_soon_as_it_can(context: BrowserContext, server: Running) -> None:
    """A question put meanwhile fails in the same words, and the next one is answered without waiting for the page."""
    page = with_a_card(context, server)
    context.set_offline(True)
    ask(page, "next")
    state(page, "Away")
    context.set_offline(False)
    ask(page, "how much lemon")
    expect(page.locator(".card")).to_have_attribute("data-kind", "amount")
    state(page, "Ready")
    pass_time(page, 3 * EVERY_S)
    expect(page.locator("#say")).not_to_contain_text("back")


# Joining


@pytest.fixture
def pairing(tmp_path: Path) -> Pairing:
    """A door with nobody in yet."""
    return Pairing(Devices(tmp_path / "devices.json"))


@pytest.fixture
def network(services: FakeServices, pairing: Pairing, tmp_path: Path) -> Iterator[Running]:
    """A server as phones see it."""
    with serving(services, certificate=certificate_for("127.0.0.1", tmp_path), pairing=pairing) as running:
        yield running


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A phone whose owner has waved the certificate's warning away; such a browser runs no service worker."""
    context = browser.new_context(
        ignore_https_errors=True, service_workers="block", viewport={"width": 390, "height": 844}
    )
    yield context.new_page()
    context.close()


def test_a_phone_that_scans_the_square_is_in(phone: Page, network: Running, pairing: Pairing) -> None:
    """The square holds the code; the page comes up without a word typed, and the code is in no address any more."""
    phone.goto(f"{network.address}join#{pairing.new_code()}")
    expect(phone.locator("#examples-title")).to_be_visible()
    assert phone.url == network.address
    ask(phone, "spec for a clover club")
    expect(phone.locator(".card-title")).to_have_text("Clover Club")
    phone.go_back()
    assert "#" not in phone.url


def test_a_phone_that_opens_the_address_gives_the_code(phone: Page, network: Running, pairing: Pairing) -> None:
    """A wrong code is told, the right one lets it in, small letters and all."""
    code = pairing.new_code()
    phone.goto(network.address)
    phone.fill("#code", "222222")
    phone.press("#code", "Enter")
    expect(phone.locator("#told")).to_contain_text("not the code")
    phone.keyboard.type(f"{code[:3].lower()} {code[3:].lower()}")
    phone.keyboard.press("Enter")
    expect(phone.locator("#examples-title")).to_be_visible()


def test_a_phone_that_was_turned_out_goes_where_the_code_is_given(
    phone: Page, network: Running, pairing: Pairing
) -> None:
    """In the middle of a talk, too: the next question leads to the door."""
    phone.goto(f"{network.address}join#{pairing.new_code()}")
    expect(phone.locator("#examples-title")).to_be_visible()
    pairing.devices.forget_all()
    ask(phone, "next")
    expect(phone.locator("#code")).to_be_visible()


def test_no_script_can_read_the_token(phone: Page, network: Running, pairing: Pairing) -> None:
    """What lets the device in is out of reach of anything that runs in the page."""
    phone.goto(f"{network.address}join#{pairing.new_code()}")
    expect(phone.locator("#examples-title")).to_be_visible()
    assert phone.evaluate("document.cookie") == ""
    assert phone.evaluate("JSON.stringify([{...localStorage}, {...sessionStorage}])").count("device") == 0
    (cookie,) = phone.context.cookies()
    assert (cookie["httpOnly"], cookie["secure"], cookie["sameSite"]) == (True, True, "Strict")
