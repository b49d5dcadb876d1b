"""A page reloaded while nothing is behind it comes up all the same, and says so."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator

import pytest
from flask import redirect, request
from flask.typing import ResponseReturnValue
from playwright.sync_api import Browser, BrowserContext, Page, expect

from assistant.web import create_app
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving, serving_app
from tests.browser.test_page import ask, free_port, state

KEPT = "navigator.serviceWorker.ready.then(() => caches.keys()).then((names) => caches.open(names[0]))"


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """A browser that knows nothing yet."""
    opened = browser.new_context(viewport={"width": 1024, "height": 768})
    yield opened
    opened.close()


def kept(page: Page) -> list[str]:
    """The paths that the browser keeps, once it has them."""
    paths: list[str] = page.evaluate(
        f"{KEPT}.then((kept) => kept.keys()).then((all) => all.map(({{ url }}) => new URL(url).pathname))"
    )
    return paths


def test_a_reload_without_a_server_brings_the_last_card(
    context: BrowserContext, services: FakeServices, keep_shot: Callable[[Page, str], None]
) -> None:
    """The page is there, says that there is no connection, shows the card, and is ready when the server is back."""
    port = free_port()
    with serving(services, port) as server:
        page = context.new_page()
        page.goto(server.address)
        ask(page, "spec for a clover club")
        expect(page.locator(".card-title")).to_have_text("Clover Club")
        assert "/" in kept(page)
    page.reload()
    state(page, "Away")
    expect(page.locator("#say")).to_contain_text("No connection")
    expect(page.locator(".card-title")).to_have_text("Clover Club")
    keep_shot(page, "reloaded-away")
    with serving(services, port):
        state(page, "Ready")  # it is looked for every two seconds
        ask(page, "how much lemon")
        expect(page.locator(".card")).to_have_attribute("data-kind", "amount")


def test_a_tablet_that_is_switched_on_without_a_server_says_so(
    context: BrowserContext, services: FakeServices, keep_shot: Callable[[Page, str], None]
) -> None:
    """In a new tab there is no card to keep: the page comes up with its examples, and claims none."""
    port = free_port()
    with serving(services, port) as server:
        page = context.new_page()
        page.goto(server.address)
        assert "/" in kept(page)
        page.close()
    page = context.new_page()
    page.goto(server.address)
    state(page, "Away")
    expect(page.locator("#say")).to_have_text(
        "No connection: the assistant is not answering. It is tried again every two seconds."
    )
    expect(page.locator("#examples-title")).to_be_visible()
    keep_shot(page, "opened-away")


def test_a_device_that_is_turned_out_keeps_no_page(context: BrowserContext, services: FakeServices) -> None:
    """Its next visit leads to the door, and from then on nothing comes up without the server."""
    app, turned_out = create_app(services), threading.Event()

    @app.before_request
    def door() -> ResponseReturnValue | None:
        return redirect("/join") if turned_out.is_set() and request.path == "/" else None

    with serving_app(app) as server:
        page = context.new_page()
        page.goto(server.address)
        assert "/" in kept(page)
        turned_out.set()
        page.goto(server.address)
        assert page.url == f"{server.address}join"
        assert "/" not in kept(page)
        assert "/static/page.js" in kept(page)


def test_nothing_is_kept_but_the_page_and_its_files(context: BrowserContext, services: FakeServices) -> None:
    """No answer, no page of the manager's; and what is asked never comes out of what is kept."""
    port = free_port()
    with serving(services, port) as server:
        page = context.new_page()
        page.goto(server.address)
        kept(page)
        page.reload()  # from here on the worker is between
        ask(page, "spec for a clover club")
        expect(page.locator(".card-title")).to_have_text("Clover Club")
        page.goto(f"{server.address}office")
        page.goto(server.address)
        paths = kept(page)
    assert {path for path in paths if not path.startswith("/static/")} == {"/"}
    assert [path for path in paths if "office" in path or "list" in path or "join" in path] == []
    assert page.evaluate("fetch('/api/health').then(() => 'answered', () => 'failed')") == "failed"
