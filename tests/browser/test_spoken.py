"""Questions asked aloud: a voice goes into the page's microphone, and the right card comes onto the page.

Nothing is stood in for: the page captures and resamples, the server hears with PocketSphinx, and the real book answers.
What is asked back is said again, as at any bar; how often that is needed is for the benchmarks to count.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest
import soundfile
from playwright.sync_api import Browser, Page, expect

from assistant.cli import Setup
from assistant.ears.choose import POCKETSPHINX
from tests.assistant.served import serving
from tests.browser.conftest import Launch
from tests.browser.saying_to_it import VOICE, hold_and_say
from tests.spoken import given_time

pytestmark = [pytest.mark.audio, pytest.mark.skipif(not VOICE.is_here, reason="no speech synthesiser is installed")]

MOST_TIMES = 3  # that a question is said

ASKED = {
    # what is said: the kind of card, and words that stand on it
    "what's in a gimlet": ("spec", ("Gimlet", "2 oz", "lime cordial")),
    "spec for a clover club": ("spec", ("Clover Club", "egg white")),
    "what's in a tidewrack": ("spec", ("Tidewrack",)),
    "how much lime juice in a daiquiri": ("amount", ("3/4 oz", "lime juice")),
    "walk me through a mint julep": ("build", ("Mint Julep", "Churn")),
    "what does a clover club cost": ("cost", ("Clover Club", "Gross margin")),
    "what's the balance of the daiquiri": ("balance", ("Daiquiri", "Acid")),
    "how strong is a manhattan": ("balance", ("Manhattan",)),
    "how strong is the negroni": ("balance", ("Negroni",)),
    "what family is the gin daisy": ("family", ("Gin Daisy", "daisy")),
    "what family is the sidecar": ("family", ("Sidecar", "daisy")),
    "what family is the negroni": ("family", ("Negroni",)),
    "riff on the gimlet": ("riff", ("Gimlet",)),
    "swap the gin for aged rum in a gimlet": ("riff", ("aged rum", "Gimlet")),
    "swap the base for aged rum in a daiquiri": ("riff", ("aged rum", "Daiquiri")),
    "compare the gimlet and the daiquiri": ("compare", ("Gimlet", "Daiquiri", "Strength")),
    "compare the manhattan and the rob roy": ("compare", ("Manhattan", "Rob Roy", "Strength")),
    "compare the negroni and the boulevardier": ("compare", ("Negroni", "Boulevardier", "Strength")),
    "batch a litre of negroni": ("batch", ("Negroni", "gin")),
    "batch two litres of manhattan": ("batch", ("Manhattan",)),
    "batch a dozen martinis": ("batch", ("Martini", "12")),
    "prep for tonight": ("prep", ("juice",)),
    "prep for eighty covers": ("prep", ("80",)),
    "prep for a hundred covers": ("prep", ("100",)),
    "what does a daiquiri taste like": ("taste", ("Daiquiri",)),
    "what does a negroni taste like": ("taste", ("Negroni",)),
    "what does a manhattan taste like": ("taste", ("Manhattan",)),
    "two gimlets and a daiquiri": ("order", ("Two Gimlets", "Daiquiri")),
    "we're out of honey syrup": ("out_of", ("honey syrup", "Bee's Knees")),
    "we're out of mint": ("out_of", ("mint", "Mint Julep")),
    "what can I use instead of dry vermouth": ("substitute", ("dry vermouth",)),
    "what can I use instead of orange liqueur": ("substitute", ("orange liqueur", "curacao")),
    "what can I use instead of honey syrup": ("substitute", ("honey syrup",)),
    "what can I make with gin and no citrus": ("can_make", ("Martini",)),
    "we're out of eggs": ("out_of", ("egg white", "Clover Club")),
    "we have two litres of lime juice": ("on_hand", ("lime juice", "2 l")),
    "can I make a clover club": ("can_make", ("Clover Club",)),
    "which drinks have nuts": ("contains", ("nuts: yes", "Army and Navy", "unknown")),
    "are there nuts in the army and navy": ("contains", ("Army and Navy", "nuts")),
    "are there eggs in the clover club": ("contains", ("Clover Club", "egg")),
    "is there egg in a whiskey sour": ("contains", ("Whiskey Sour",)),
}

BACK = {
    # what is said to be out, by typing; what is then said aloud; what is told
    "we're out of maple syrup": ("maple syrup is back", "maple syrup is back in"),
    "we're out of mezcal": ("mezcal is back in", "mezcal is back in"),
    "we're out of ginger beer": ("we have ginger beer again", "ginger beer is back in"),
}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The real server, once it can hear."""
    setup = Setup(None, f"sqlite:///{tmp_path_factory.mktemp('shift') / 'shift.db'}")
    with given_time(), closing(setup.services_that_hear(POCKETSPHINX)) as services, serving(services) as running:
        yield running.address


@pytest.fixture(scope="module")
def microphone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file that the browser's microphone plays, from its start, each time it is opened."""
    return tmp_path_factory.mktemp("microphone") / "microphone.wav"


@pytest.fixture(scope="module")
def speaking(launch: Launch, microphone: Path) -> Iterator[Browser]:
    """A browser with that microphone."""
    soundfile.write(microphone, np.zeros(16_000), 16_000, subtype="PCM_16")
    started = launch(microphone)
    yield started
    started.close()


@pytest.fixture
def page(speaking: Browser, address: str) -> Iterator[Page]:
    """The page at wall size; its microphone has not been opened yet."""
    context = speaking.new_context(viewport={"width": 1920, "height": 1080}, permissions=["microphone"])
    opened = context.new_page()
    opened.goto(address)
    yield opened
    context.close()


def say(page: Page, text: str, microphone: Path) -> None:
    """Say it to a page loaded anew, which lets go of the microphone; again while it is asked back."""
    for _ in range(MOST_TIMES):
        page.reload()
        hold_and_say(page, text, microphone)
        if not re.search(r"Did you|I did not|Try again", page.inner_text("#told")):
            return


@pytest.mark.parametrize("text", ASKED)
def test_a_question_asked_aloud_gets_its_card(
    page: Page, microphone: Path, text: str, keep_shot: Callable[[Page, str], None]
) -> None:
    """Hold, speak, let go: the card on the page is the right one."""
    kind, words = ASKED[text]
    say(page, text, microphone)
    keep_shot(page, f"aloud-{text.replace(' ', '-')}")
    assert page.locator(".card").get_attribute("data-kind") == kind, page.inner_text("#told")
    shown = page.inner_text(".card")
    assert [word for word in words if word not in shown] == []


@pytest.mark.parametrize("out", BACK)
def test_what_was_out_is_back_aloud(page: Page, microphone: Path, out: str) -> None:
    """Typed as out, said to be back."""
    text, told = BACK[out]
    page.fill("#words", out)
    page.press("#words", "Enter")
    expect(page.get_by_role("button", name="Undo that")).to_be_visible()
    say(page, text, microphone)
    expect(page.locator("#told")).to_contain_text(told, ignore_case=True)


def test_a_conversation_goes_on_aloud(page: Page, microphone: Path) -> None:
    """A follow-up is about what was asked before: three of them, and then undone by voice what was said to be out."""
    say(page, "what's in a gimlet", microphone)
    say(page, "make it three", microphone)
    expect(page.locator(".card-title")).to_have_text("Three Gimlets")
    expect(page.locator(".amounts tr").first).to_have_text("6 ozgin")
    say(page, "we're out of pineapple juice", microphone)
    expect(page.get_by_role("button", name="Undo that")).to_be_visible()
    say(page, "undo that", microphone)
    expect(page.locator("#told")).to_contain_text("pineapple juice is in again", ignore_case=True)
