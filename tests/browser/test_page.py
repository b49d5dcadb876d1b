"""What people do on the page: type, press, hold, mute, undo; and what it does when the server is away."""

from __future__ import annotations

import re
import socket
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, ConsoleMessage, Page, Request, expect

from assistant.errors import AssistantError
from assistant.messages import Reply
from assistant.web.certificate import certificate_for
from assistant.web.server import Running
from tests.assistant import canned
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving

SPOKEN_S = 1.0  # how long a test holds the control


def ask(page: Page, text: str) -> None:
    """Type a question and send it."""
    page.fill("#words", text)
    page.press("#words", "Enter")


def state(page: Page, word: str) -> None:
    """Wait until the page says that it is in this state."""
    expect(page.locator("#state-word")).to_have_text(word)


def free_port() -> int:
    """A port that nobody uses just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


# Ways to hold the control


def hold_by_mouse(page: Page) -> Callable[[], None]:
    """Press the button under the pointer; what is given back lets go."""
    page.hover("#talk")
    page.mouse.down()
    return page.mouse.up


def hold_by_finger(page: Page) -> Callable[[], None]:
    """Put a finger on the control; what is given back lifts it."""
    box = page.locator("#talk").bounding_box()
    assert box
    touch = page.context.new_cdp_session(page)
    point = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
    touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [point]})
    return lambda: touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def hold_by_key(page: Page) -> Callable[[], None]:
    """Hold the space bar; what is given back lets go."""
    page.keyboard.down("Space")
    return lambda: page.keyboard.up("Space")


@pytest.mark.parametrize("hold", [hold_by_mouse, hold_by_finger, hold_by_key])
def test_holding_and_letting_go_asks(
    page: Page, services: FakeServices, hold: Callable[[Page], Callable[[], None]]
) -> None:
    """Hold, speak, let go: one sound of about that length reaches the ear, and its card is on the page."""
    let_go = hold(page)
    state(page, "Listening")
    page.wait_for_timeout(1000 * SPOKEN_S)
    let_go()
    expect(page.locator(".card-title")).to_have_text("Clover Club")
    expect(page.locator("#heard")).to_have_text("“spec for a clover club”")
    (sound,) = services.sounds
    assert SPOKEN_S * 0.8 < sound.seconds < SPOKEN_S + 1.5
    assert np.abs(sound.samples).max() > 0.01
    state(page, "Ready")


def test_a_phone_on_the_bar_s_network_may_speak_too(browser: Browser, services: FakeServices, tmp_path: Path) -> None:
    """Over https, once its certificate is trusted, the page gets the microphone."""
    with serving(services, certificate=certificate_for("127.0.0.1", tmp_path)) as running:
        page = browser.new_page(ignore_https_errors=True, viewport={"width": 390, "height": 844})
        page.goto(running.address)
        let_go = hold_by_finger(page)
        state(page, "Listening")
        page.wait_for_timeout(500)
        let_go()
        expect(page.locator(".card-title")).to_have_text("Clover Club")
        page.close()


def test_a_press_without_holding_starts_and_ends(page: Page, services: FakeServices) -> None:
    """Who cannot hold a key presses Enter on the control once to start and once to end."""
    page.focus("#talk")
    page.keyboard.press("Enter")
    state(page, "Listening")
    page.wait_for_timeout(500)
    page.keyboard.press("Enter")
    expect(page.locator(".card-title")).to_have_text("Clover Club")
    assert len(services.sounds) == 1


def test_the_space_bar_types_a_space_where_one_types(page: Page) -> None:
    """In the typing box, space is a letter."""
    page.focus("#words")
    page.keyboard.type("a b")
    expect(page.locator("#words")).to_have_value("a b")
    state(page, "Ready")


def test_a_refused_microphone_is_a_sentence(browser: Browser, server: Running) -> None:
    """Who does not give the page the microphone is told what to do instead."""
    page = browser.new_page()
    page.add_init_script(
        "navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', 'NotAllowedError'))"
    )
    page.goto(server.address)
    page.hover("#talk")
    page.mouse.down()
    expect(page.locator("#say")).to_contain_text("may not use the microphone")
    page.mouse.up()
    state(page, "Ready")
    page.close()


def test_typing_asks(page: Page) -> None:
    """A typed question gives its card; the box is empty for the next."""
    ask(page, "spec for a clover club")
    expect(page.locator(".amounts tr").first).to_have_text("1 1/2 ozgin")
    expect(page.locator("#words")).to_have_value("")
    expect(page.locator("#told")).to_contain_text(canned.SPEC.say)
    expect(page.locator("#cautions li")).to_have_text(list(canned.EGG))


def test_an_example_asks(page: Page) -> None:
    """The first view's examples are questions to press."""
    page.get_by_role("button", name="how much lemon").click()
    expect(page.locator(".amounts td")).to_have_text("3/4 oz")


def test_a_question_back_has_its_choices_as_buttons(page: Page, services: FakeServices) -> None:
    """Pressing a choice answers the question, in the same conversation."""
    ask(page, "a daisy")
    page.get_by_role("button", name="Brandy Daisy").click()
    expect(page.locator("#choices")).to_be_hidden()
    (_, first), (text, second) = services.asked
    assert (text, second) == ("Brandy Daisy", first)


def test_a_change_can_be_undone_with_one_press(page: Page, services: FakeServices) -> None:
    """A reply that changed something has an undo button; the next reply has not."""
    ask(page, "we are out of orgeat")
    page.get_by_role("button", name="Undo that").click()
    expect(page.get_by_role("button", name="Undo that")).to_be_hidden()
    assert services.asked[-1][0] == "undo"


def test_the_current_step_is_marked_for_every_reader(page: Page) -> None:
    """The step being read is marked in the page's structure too, not by its looks alone."""
    ask(page, "next")
    expect(page.locator("[aria-current=step]")).to_have_text(canned.STEPS[1])


def test_bars_can_be_read_aloud(page: Page) -> None:
    """A bar says its values and its usual band in words."""
    ask(page, "gimlet with aged rum instead")
    expect(
        page.get_by_role("img", name="Strength: Gimlet 22.4%, with aged rum 24.1%, usually 18 to 24")
    ).to_be_visible()


def test_replies_are_announced(page: Page) -> None:
    """A screen reader is told the sentence as soon as it is there."""
    expect(page.locator("#told")).to_have_attribute("aria-live", "polite")
    expect(page.locator(".state")).to_have_role("status")


def test_the_mute_is_kept(page: Page) -> None:
    """A muted page is still muted when it is opened again."""
    page.get_by_role("button", name="Voice on").click()
    page.reload()
    expect(page.get_by_role("button", name="Voice off")).to_have_attribute("aria-pressed", "false")


def test_only_a_voice_of_this_machine_speaks(browser: Browser, server: Running) -> None:
    """With a remote and a local voice, the local one speaks; muted, none does."""
    page = browser.new_page()
    page.add_init_script(FAKE_VOICES)
    page.goto(server.address)
    ask(page, "how much lemon")
    state(page, "Speaking")
    state(page, "Ready")
    page.get_by_role("button", name="Voice on").click()
    ask(page, "next")
    expect(page.locator("[aria-current=step]")).to_be_visible()
    assert page.evaluate("spoken") == [["near", canned.AMOUNT.say, 1]]
    page.close()


def test_told_to_be_quiet_the_page_is(
    browser: Browser, server: Running, monkeypatch: pytest.MonkeyPatch, keep_shot: Callable[[Page, str], None]
) -> None:
    """Its answer is shown and not spoken, and so is all else until 'voice on', whose answer is heard."""
    monkeypatch.setitem(canned.CANNED, "be quiet", Reply("Voice off.", voice="off"))
    monkeypatch.setitem(canned.CANNED, "voice on", Reply("Voice on.", voice="on"))
    page = browser.new_page()
    page.add_init_script(FAKE_VOICES)
    page.goto(server.address)
    ask(page, "be quiet")
    expect(page.locator("#say")).to_have_text("Voice off.")
    expect(page.get_by_role("button", name="Voice off")).to_have_attribute("aria-pressed", "false")
    keep_shot(page, "voice-off")
    ask(page, "how much lemon")
    expect(page.locator("#say")).to_have_text(canned.AMOUNT.say)
    state(page, "Ready")
    ask(page, "voice on")
    expect(page.get_by_role("button", name="Voice on")).to_have_attribute("aria-pressed", "true")
    assert [text for _, text, _ in page.evaluate("spoken")] == ["Voice on."]
    page.close()


def test_what_is_asked_for_slowly_is_spoken_slowly(
    browser: Browser, server: Running, monkeypatch: pytest.MonkeyPatch
) -> None:
    """'Slower' is said at two thirds of the usual speed; what is asked next is as quick as ever."""
    monkeypatch.setitem(canned.CANNED, "slower", replace(canned.AMOUNT, slow=True))
    page = browser.new_page()
    page.add_init_script(FAKE_VOICES)
    page.goto(server.address)
    for text in ("how much lemon", "slower", "how much lemon"):
        ask(page, text)
        state(page, "Speaking")
        state(page, "Ready")
    assert [round(rate, 2) for _, _, rate in page.evaluate("spoken")] == [1, 0.67, 1]
    page.close()


FAKE_VOICES = """
globalThis.spoken = [];
const far = { name: 'far', lang: 'en-US', localService: false, default: true };
const voices = [far, { name: 'near', lang: 'en-GB', localService: true }];
globalThis.SpeechSynthesisUtterance = class { constructor(text) { this.text = text } };
Object.defineProperty(globalThis, 'speechSynthesis', { value: {
  getVoices: () => voices,
  cancel: () => {},
  speak: (words) => {
    spoken.push([words.voice.name, words.text, words.rate]);
    words.onstart();
    setTimeout(words.onend, 300);
  },
} });
"""


def test_the_last_card_stays_while_the_server_is_away(browser: Browser, services: FakeServices) -> None:
    """The card is kept, a sentence says what is wrong, and the page finds the server again by itself."""
    page = browser.new_page()
    port = free_port()
    with serving(services, port) as running:
        page.goto(running.address)
        ask(page, "spec for a clover club")
        expect(page.locator(".card-title")).to_have_text("Clover Club")
    ask(page, "next")
    state(page, "Away")
    expect(page.locator("#say")).to_contain_text("not answering")
    expect(page.locator(".card-title")).to_have_text("Clover Club")
    with serving(services, port):
        state(page, "Ready")
        ask(page, "how much lemon")
        expect(page.locator(".card")).to_have_attribute("data-kind", "amount")
        page.reload()
        expect(page.locator(".card")).to_have_attribute("data-kind", "amount")
    page.close()


def test_a_refusal_is_shown_as_the_sentence_it_is(page: Page, services: FakeServices) -> None:
    """When the ear fails, the page says so in words and is ready again."""
    services.fails = AssistantError("broken")
    page.hover("#talk")
    page.mouse.down()
    state(page, "Listening")
    page.mouse.up()
    expect(page.locator("#say")).to_contain_text("Something went wrong")
    state(page, "Ready")


def test_nothing_comes_from_elsewhere_and_nothing_breaks(browser: Browser, server: Running) -> None:
    """The page asks its own server only, and its strict policy and scripts raise no complaint."""
    page = browser.new_page()
    asked: list[str] = []
    complaints: list[str] = []

    def note_request(request: Request) -> None:
        asked.append(request.url)

    def note_complaint(message: ConsoleMessage) -> None:
        complaints.append(message.text)

    page.on("request", note_request)
    page.on("console", note_complaint)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(server.address)
    for text in canned.CANNED:
        ask(page, text)
        page.wait_for_timeout(100)
    assert [url for url in asked if not url.startswith(server.address)] == []
    assert complaints == []
    page.close()


def test_the_screen_stays_lit(browser: Browser, server: Running) -> None:
    """The page asks for a lit screen, and asks again when it comes back into view."""
    page = browser.new_page()
    page.add_init_script(COUNTED_LOCKS)
    page.goto(server.address)
    assert page.evaluate("locks") == 1
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("locks") == 2
    page.close()


COUNTED_LOCKS = """
globalThis.locks = 0;
Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => { locks += 1 } } });
"""


def test_a_prep_sheet_prints_as_the_card_alone(page: Page) -> None:
    """On paper there are no controls, and the letters are dark."""
    ask(page, "spec for a clover club")
    page.emulate_media(media="print")
    expect(page.locator("#talk")).to_be_hidden()
    expect(page.locator(".card-title")).to_be_visible()
    colour = page.eval_on_selector(".figure", "part => getComputedStyle(part).color")
    assert re.sub(r"\s", "", colour) == "rgb(0,0,0)"


def test_tab_goes_from_the_control_to_the_typing_box_to_the_answer(page: Page) -> None:
    """The order of focus is the order of a conversation: ask, then read."""
    ask(page, "a daisy")
    expect(page.locator("#choices button").first).to_be_visible()
    page.focus("#talk")
    reached = []
    for _ in range(5):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.id || document.activeElement.textContent"))
    assert reached == ["who", "words", "Ask", "room", "Gin Daisy"]
