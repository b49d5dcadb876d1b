"""Nobody touches the page: a voice wakes it, asks, interrupts; and the page's own voice does not.

Nothing is stood in for but the page's voice: headless browsers have none, so a stand-in keeps the page believing that a
reply is being spoken, and the microphone plays what would be heard of it. The drinks are those whose names this voice
says well: its "gimlet" is often asked back, alone or after the phrase, which is for the benchmarks to count.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import soundfile
from playwright.sync_api import Browser, Page, expect

from assistant.cli import Setup
from assistant.ears.base import RATE, Sound
from assistant.ears.choose import POCKETSPHINX
from assistant.ears.hearing import Hearing
from assistant.ears.spotting import Spotted
from assistant.messages import Heard
from assistant.web import hands_free
from demo_audio_scripts.speak import VOICES
from tests.assistant.fakes import FakeServices
from tests.assistant.served import serving
from tests.browser.conftest import Launch
from tests.spoken import given_time, said_by

pytestmark = pytest.mark.audio

VOICE = next((voice for voice in VOICES if voice.program == "flite" and voice.is_here), None)
ANSWERED_MS = 90_000  # on a machine that is busy with other tests
MADE_S = 180.0
WAKE = "Skerry Haven."
TALKS = """() => {
  const voice = { localService: true, lang: 'en-US', default: true };
  const stand = { speaking: false, cancelled: 0, getVoices: () => [voice] };
  stand.speak = (words) => { stand.speaking = true; stand.words = words; words.onstart?.(); };
  stand.cancel = () => {
    if (stand.speaking) document.documentElement.dataset.cancelled = ++stand.cancelled;
    stand.speaking = false;
    stand.words?.onend?.();
  };
  Object.defineProperty(window, 'speechSynthesis', { value: stand });
  window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
}"""

NOTES_WHAT_IS_HEARD = """() => {
  const heard = document.getElementById('heard');
  globalThis.noted = [];
  const note = () => { if (heard.textContent && noted.at(-1) !== heard.textContent) noted.push(heard.textContent); };
  new MutationObserver(note).observe(heard, { childList: true, characterData: true, subtree: true });
}"""

Plays = Callable[[Sequence[str | float]], Page]


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The real server, once it can hear."""
    setup = Setup(None, f"sqlite:///{tmp_path_factory.mktemp('shift') / 'shift.db'}")
    with given_time(), closing(setup.services_that_hear(POCKETSPHINX)) as services, serving(services) as running:
        assert isinstance(services.recogniser, Hearing)
        services.recogniser.catch_up(MADE_S)
        services.spotter.hear(Sound(np.zeros(RATE, np.float32)))  # begins its worker
        yield running.address


@pytest.fixture(scope="module")
def microphone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that the browser's microphone plays, from its start, each time it is opened."""
    return tmp_path_factory.mktemp("microphone") / "microphone.wav"


@pytest.fixture(scope="module")
def browser_that_hears(launch: Launch, microphone: Path) -> Iterator[Browser]:
    """A browser with that microphone."""
    soundfile.write(microphone, np.zeros(RATE), RATE, subtype="PCM_16")
    started = launch(microphone)
    yield started
    started.close()


@pytest.fixture
def plays(browser_that_hears: Browser, address: str, microphone: Path) -> Iterator[Plays]:
    """Opens the page and goes hands-free in a room where this is said, with pauses in seconds between."""
    if VOICE is None:
        pytest.skip("no speech synthesiser is installed")
    voice = VOICE
    context = browser_that_hears.new_context(viewport={"width": 1280, "height": 800}, permissions=["microphone"])
    context.add_init_script(f"({TALKS})()")

    def play(parts: Sequence[str | float]) -> Page:
        heard = [np.zeros(int(RATE * p)) if isinstance(p, float) else said_by(voice, p).samples for p in parts]
        room = np.concatenate([np.zeros(2 * RATE), *heard, np.zeros(20 * RATE)])
        room += np.random.default_rng(3).standard_normal(len(room)) * 1e-3
        soundfile.write(microphone, room, RATE, subtype="PCM_16")
        page = context.new_page()
        page.goto(address)
        page.get_by_role("button", name="Hands-free").click()
        return page

    yield play
    context.close()


def test_phrase_and_question_in_one_breath(plays: Plays, keep_shot: Callable[[Page, str], None]) -> None:
    """The card comes, and nothing was touched; the button says that it is on."""
    page = plays(["Skerry Haven, what's in a daiquiri"])
    expect(page.get_by_role("button", name="Hands-free")).to_have_attribute("aria-pressed", "true")
    expect(page.locator(".card-title")).to_have_text("Daiquiri", timeout=ANSWERED_MS)
    keep_shot(page, "hands-free-answered")


def test_phrase_alone_and_then_the_question(plays: Plays, keep_shot: Callable[[Page, str], None]) -> None:
    """A frame says that it listens; what is said next needs no phrase, and then it is asleep again."""
    page = plays([WAKE, 3.0, "what's in a daiquiri"])
    expect(page.locator("body")).to_have_attribute("data-ear", "listening", timeout=ANSWERED_MS)
    expect(page.get_by_text("Speak now")).to_be_visible()
    keep_shot(page, "hands-free-listening")
    expect(page.locator(".card-title")).to_have_text("Daiquiri", timeout=ANSWERED_MS)
    expect(page.locator("body")).to_have_attribute("data-ear", "asleep")


def test_talk_without_the_phrase_is_nobodys_business(plays: Plays) -> None:
    """A question across the bar, to somebody else, changes nothing."""
    page = plays(["what's in a daiquiri"])
    page.wait_for_timeout(7_000)
    expect(page.locator("body")).to_have_attribute("data-ear", "asleep")
    expect(page.locator("body")).to_have_attribute("data-view", "examples")


def test_its_own_voice_neither_asks_nor_wakes_it(plays: Plays) -> None:
    """What the microphone hears while a reply is spoken is not for it, even a question word for word."""
    page = plays(["Skerry Haven, what's in a daiquiri", 4.0, "what does a tidewrack cost"])
    expect(page.locator(".card-title")).to_have_text("Daiquiri", timeout=ANSWERED_MS)
    expect(page.locator("#state-word")).to_have_text("Speaking")
    page.wait_for_timeout(7_000)
    expect(page.locator(".card-title")).to_have_text("Daiquiri")
    expect(page.locator("#state-word")).to_have_text("Speaking")
    assert page.evaluate("speechSynthesis.cancelled") == 0


def test_the_phrase_interrupts_what_it_says(plays: Plays) -> None:
    """Said while it speaks, the phrase silences it, and the next words are heard; they may have an answer at once."""
    page = plays(["Skerry Haven, what's in a daiquiri", *[5.0, "Skerry Haven, stop"] * 6])  # it may answer late
    expect(page.locator("#state-word")).to_have_text("Speaking", timeout=ANSWERED_MS)
    expect(page.locator("html")).to_have_attribute("data-cancelled", re.compile(r"[1-9]"), timeout=ANSWERED_MS)
    expect(page.locator("#heard")).to_contain_text("stop", timeout=ANSWERED_MS)


@pytest.mark.parametrize("key", ["Escape", "m"])
def test_a_key_silences_it_while_it_speaks(plays: Plays, key: str) -> None:
    """Escape stops, M mutes."""
    page = plays(["Skerry Haven, what's in a daiquiri"])
    expect(page.locator("#state-word")).to_have_text("Speaking", timeout=ANSWERED_MS)
    page.keyboard.press(key)
    expect(page.locator("#state-word")).to_have_text("Ready")
    assert page.evaluate("speechSynthesis.cancelled") == 1
    expect(page.locator("body")).to_have_attribute("data-ear", "asleep")
    expect(page.locator("#mute-word")).to_have_text("Voice off" if key == "m" else "Voice on")


def test_off_is_off(plays: Plays) -> None:
    """A second press lets the microphone go, and nothing is sent any more."""
    page = plays([])
    expect(page.locator("body")).to_have_attribute("data-ear", "asleep")
    page.get_by_role("button", name="Hands-free").click()
    expect(page.locator("body")).to_have_attribute("data-ear", "off")
    page.wait_for_timeout(500)
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.url))
    page.wait_for_timeout(1_500)
    assert [url for url in sent if "/api/stream" in url] == []


class AnyTalkWakes:
    """Takes the first that it is given for the phrase, as far as a second into it."""

    name = "stand-in"

    def hear(self, sound: Sound) -> Spotted:
        """The phrase, at its beginning."""
        return Spotted("phrase", 1.0, begins_s=0.3, ends_s=1.0)

    def close(self) -> None:
        """Nothing to let go of."""


class TellsPartials(FakeServices):
    """An ear that tells what was said so far, as Vosk does."""

    def hear(self, sound: Sound, conversation: str = "") -> Heard:
        """Half the sentence while more is being said."""
        return Heard("spec for a", 0.0) if sound.is_unfinished else super().hear(sound, conversation)


@pytest.mark.skipif(VOICE is None, reason="no speech synthesiser is installed")
def test_what_is_being_said_stands_on_the_page(
    launch: Launch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, keep_shot: Callable[[Page, str], None]
) -> None:
    """Where the recogniser can tell it, before the sentence has ended; then what was heard stands there."""
    assert VOICE is not None
    talk = said_by(VOICE, "It is a long way home by the harbour, and the tide comes in faster than you would think.")
    room = np.concatenate([np.zeros(2 * RATE), talk.samples, np.zeros(20 * RATE)])
    soundfile.write(tmp_path / "microphone.wav", room, RATE, subtype="PCM_16")
    monkeypatch.setattr(hands_free, "_phrase", lambda services: "Skerry Haven")
    services = TellsPartials(spotter=AnyTalkWakes(), tells_partials=True)
    browser = launch(tmp_path / "microphone.wav")
    with serving(services) as running, closing(browser):
        page = browser.new_context(permissions=["microphone"]).new_page()
        page.goto(running.address)
        page.evaluate(NOTES_WHAT_IS_HEARD)
        page.get_by_role("button", name="Hands-free").click()
        expect(page.locator("#heard")).not_to_be_empty(timeout=ANSWERED_MS)
        keep_shot(page, "hands-free-so-far")
        expect(page.locator(".card-title")).to_have_text("Clover Club", timeout=ANSWERED_MS)
        assert page.evaluate("noted") == ["\u201cspec for a \u2026\u201d", "\u201cspec for a clover club\u201d"]
