"""A trainee's five days on the page, by a clock that the test sets: asked, marked, asked again when due, tested, seen.

The trainee knows what the page has shown: a question that was answered on it once is answered like that from then on;
and by Thursday has read the book through.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from assistant.answers.floor_test import LENGTH
from assistant.answers.quiz_round import ROUND
from assistant.answers.quiz_words import put, right_answer
from assistant.services import Services
from assistant.web.server import Running
from recipes.quiz import Kind, pool, question
from tests.assistant.served import serving

MONDAY = datetime(2024, 3, 4, 15, 0, tzinfo=UTC)
DAISIES = "quiz me on the daisies"
PHONE, TABLET, WALL = (390, 844), (1024, 768), (1920, 1080)


class Clock:
    """A clock that a test sets."""

    now = MONDAY

    def __call__(self) -> datetime:
        return self.now

    def on_day(self, day: int) -> None:
        """Three in the afternoon of a day, Monday being 1."""
        self.now = MONDAY + timedelta(days=day - 1)


@pytest.fixture
def clock() -> Clock:
    """The bar's clock, at three on a Monday."""
    return Clock()


@pytest.fixture
def services(tmp_path: Path, clock: Clock) -> Iterator[Services]:
    """The assistant on the book that ships."""
    with closing(Services(None, f"sqlite:///{tmp_path / 'shift.db'}", clock)) as services:
        yield services


@pytest.fixture
def server(services: Services) -> Iterator[Running]:
    """It, served."""
    with serving(services) as running:
        yield running


class Device:
    """A device with a browser of its own, and whoever holds it."""

    def __init__(self, browser: Browser, address: str, name: str, size: tuple[int, int], clock: Clock) -> None:
        self.context = browser.new_context(viewport={"width": size[0], "height": size[1]})
        self.page, self.clock = self.context.new_page(), clock
        self.page.goto(address)
        self.introduce(name)
        self.told: dict[str, str] = {}  # question -> the answer that the page gave

    def introduce(self, name: str) -> None:
        """Type the name into its window, once."""
        self.page.click("#who")
        self.page.fill("#name", name)
        self.page.press("#name", "Enter")
        expect(self.page.locator("#who-word")).to_have_text(name)

    def say(self, text: str) -> str:
        """Type it, half a minute after what was said before; what the page says to it."""
        self.clock.now += timedelta(seconds=30)
        self.page.fill("#words", text)
        with self.page.expect_response(re.compile("/api/ask")) as answered:
            self.page.press("#words", "Enter")
        said = str(answered.value.json()["say"])
        expect(self.page.locator("#say")).to_have_text(said)
        return said

    def asked(self) -> str | None:
        """The question that the page shows."""
        following = self.page.locator("p.tone-strong")
        if following.count():
            return following.inner_text()
        shown = self.page.locator('[data-kind="quiz"] .card-title')
        return shown.inner_text() if shown.count() else None

    def round(self, start: str, known: Mapping[str, str] | None = None) -> list[str]:
        """A whole round, or test, answered from what was told or is `known`; what was asked in it."""
        self.say(start)
        questions = []
        while (open_question := self.asked()) is not None:
            questions.append(open_question)
            answer = (known or self.told).get(open_question)
            said = self.say(answer.partition(":")[0] if answer else "I don't know")
            self.told.setdefault(open_question, re.split(r" (?:Next|That was)\b", said)[0])
        return questions

    def readiness(self, section: str) -> int:
        """What the bar of a section shows, in percent."""
        self.say("what do I still miss")
        bar = self.page.locator(".bar", has_text=section).first
        return int(re.findall(r"(\d+)\s?%", bar.inner_text())[0])


@pytest.fixture
def device(browser: Browser, server: Running, clock: Clock) -> Iterator[Callable[..., Device]]:
    """Hands out devices."""
    handed: list[Device] = []

    def hand(name: str, size: tuple[int, int] = PHONE) -> Device:
        handed.append(Device(browser, server.address, name, size, clock))
        return handed[-1]

    yield hand
    for each in handed:
        each.context.close()


def by_heart(services: Services) -> dict[str, str]:
    """All that can be asked, and the right answers: what one knows who has read the book through."""
    pools = (pool(services.book), pool(services.book, family="daisy"))
    asked = [question(drinks, services.book, turn) for drinks in pools for turn in range(len(drinks) * len(Kind) * 4)]
    return {put(each, services.book): right_answer(each, services.book) for each in asked}


def test_the_trainees_week(
    device: Callable[..., Device], services: Services, clock: Clock, keep_shot: Callable[[Page, str], None]
) -> None:
    """Missed on Monday, asked first on Tuesday, known by Thursday, tested on Friday, and seen by the manager."""
    sam = device("Sam")
    assert sam.say("what do I still miss") == "You have no marks yet. Say quiz me to start."
    monday = sam.round(DAISIES)
    assert len(set(monday)) == ROUND
    keep_shot(sam.page, "week-1-marked")
    assert sam.say("what do I still miss").startswith("You still miss most in the ")
    keep_shot(sam.page, "week-1-missed")

    clock.on_day(2)
    assert "Ten questions are due again, on the " in sam.say("what do I still miss")
    assert set(sam.round(DAISIES)) == set(monday), "what was missed comes first"
    assert sam.say("what do I still miss") == "By your latest answers you miss nothing."
    keep_shot(sam.page, "week-2-known")
    more = sam.round(DAISIES)
    assert not set(more) & set(monday), "and then something new"

    clock.on_day(3)
    assert set(sam.round(DAISIES)) == set(more)

    clock.on_day(4)
    before = sam.readiness("Classics")
    book = by_heart(services)
    for _ in range(3):
        sam.round("quiz me on the classics", known=book)
    assert sam.readiness("Classics") > before
    keep_shot(sam.page, "week-4-readiness")

    clock.on_day(5)
    sam.round("give me the floor test on the daisies", known={"": ""})
    expect(sam.page.locator(".facts")).to_contain_text("not passed")
    assert len(sam.round("give me the floor test on the daisies", known=book)) == LENGTH
    expect(sam.page.locator(".facts li").last).to_have_text("passed")
    keep_shot(sam.page, "week-5-passed")

    kit = device("Kit", WALL)
    assert kit.say("show me the floor test results").startswith("Two floor tests so far. The last was by Sam, ")
    assert kit.say("how did Sam do").startswith("In the last floor test, on the daisy family, Sam had ")
    keep_shot(kit.page, "week-5-seen")
    assert kit.say("how is Kit doing") == "Kit has no marks yet."


def test_two_trainees_on_two_devices_do_not_mix(
    device: Callable[..., Device], clock: Clock, keep_shot: Callable[[Page, str], None]
) -> None:
    """Neither the round that is open, nor marks, nor what is due; each page shows whose it is."""
    sam, ana = device("Sam"), device("Ana", TABLET)
    sam.say(DAISIES)
    ana.say("quiz me on the gimlet")
    mine, theirs = sam.asked(), ana.asked()
    sam.say("I don't know")
    assert ana.asked() == theirs != mine
    assert ana.say("what do I still miss").startswith("You have no marks yet.")
    sam.say("stop")
    clock.on_day(2)
    assert "due again" in sam.say("what do I still miss")
    assert sam.say("how is Ana doing") == "Ana has no marks yet."
    for each, name in ((sam, "Sam"), (ana, "Ana")):
        each.page.reload()
        expect(each.page.locator("#who-word")).to_have_text(name)
    keep_shot(ana.page, "two-trainees")


def test_somebody_else_takes_the_device(device: Callable[..., Device]) -> None:
    """'I'm Ana' makes it Ana's, and the page says so; the name forgotten, nobody's marks are anybody's."""
    phone = device("Sam")
    phone.say(DAISIES)
    phone.say("I don't know")
    assert phone.say("I'm Ana") == "I do not know Ana yet. Is that your name?"
    assert phone.say("yes").startswith("Hello Ana.")
    expect(phone.page.locator("#who-word")).to_have_text("Ana")
    assert phone.say("what do I still miss").startswith("You have no marks yet.")
    phone.page.click("#who")
    phone.page.click("#nobody")
    expect(phone.page.locator("#who-word")).to_have_text("Who?")
    assert phone.say("how is Sam doing").startswith("Sam still misses most in the ")
    assert phone.say("what do I still miss").startswith("You have no marks yet.")
