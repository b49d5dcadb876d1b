"""The bartender's rush: twenty questions asked aloud, one after the other, on one page that is never loaded anew.

Nothing is stood in for, as in test_spoken. The page lets go of the microphone after a minute of silence; so between two
questions the page's clock is put on by a minute.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing
from functools import partial
from pathlib import Path

import numpy as np
import pytest
import soundfile
from playwright.sync_api import Browser, Page

from assistant.ears.base import Sound
from assistant.ears.choose import POCKETSPHINX
from assistant.ears.hearing import Hearing
from assistant.services import Services
from tests.assistant.served import serving
from tests.browser.conftest import Launch
from tests.browser.saying_to_it import VOICE, hold_and_say

pytestmark = [pytest.mark.audio, pytest.mark.skipif(not VOICE.is_here, reason="no speech synthesiser is installed")]

LET_GO_MS = 61_000  # of silence, and the page lets go of the microphone
SAID_AGAIN = 2  # of the twenty: what is misheard is said once more, as at any bar
HEARD_S = 18.0  # for an utterance, on a machine that is busy with other tests; the page waits for twenty
RUSH = (
    # what is said, the kind of card, and what stands on the page then
    ("spec for a gimlet", "spec", "2 oz"),
    ("make it three", "scale", "6 oz"),
    ("spec for a clover club", "spec", "raspberry syrup"),
    ("are there eggs in the clover club", "contains", "egg white"),
    ("how much lime juice in a daiquiri", "amount", "3/4 oz"),
    ("walk me through a mint julep", "build", "Mint Julep"),
    ("we're out of honey syrup", "out_of", "Bee's Knees"),
    ("honey syrup is back", "sentence", "honey syrup is back in"),
    ("what can I use instead of dry vermouth", "substitute", "Instead of dry vermouth"),
    ("what's in a manhattan", "spec", "rye whiskey"),
    ("are there nuts in the army and navy", "contains", "nuts"),
    ("what can I make with gin and no citrus", "can_make", "Martini"),
    ("is there egg in a whiskey sour", "contains", "Whiskey Sour"),
    ("how strong is a manhattan", "balance", "Manhattan"),
    ("what does a clover club cost", "cost", "Gross margin"),
    ("batch two litres of manhattan", "batch", "rye whiskey"),
    ("how strong is the negroni", "balance", "Negroni"),
    ("prep for a hundred covers", "prep", "100"),
    ("we're out of pineapple juice", "out_of", "pineapple juice"),
    ("pineapple juice is back", "sentence", "pineapple juice is back in"),
)


@pytest.fixture
def services(tmp_path: Path) -> Iterator[Services]:
    """The real assistant, with an ear that is given time: what is claimed here is not how fast it is."""
    with closing(Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}")) as services:
        services.recogniser = Hearing(
            plan=partial(services.ear_plan, POCKETSPHINX),
            edition=lambda: services.phrasebook,
            limit_s=HEARD_S,
        )
        yield services


@pytest.fixture
def microphone(tmp_path: Path) -> Path:
    """The file that the browser's microphone plays."""
    file = tmp_path / "microphone.wav"
    soundfile.write(file, np.zeros(16_000), 16_000, subtype="PCM_16")
    return file


@pytest.fixture
def speaking(launch: Launch, microphone: Path) -> Iterator[Browser]:
    """A browser with that microphone."""
    started = launch(microphone)
    yield started
    started.close()


def say(page: Page, text: str, microphone: Path) -> None:
    """Say it, a minute after whatever was said before."""
    page.clock.fast_forward(LET_GO_MS)
    hold_and_say(page, text, microphone)


def test_twenty_questions_in_a_row(
    speaking: Browser, services: Services, microphone: Path, keep_shot: Callable[[Page, str], None]
) -> None:
    """Specs, follow-ups, what is out, allergens, a batch, the prep: each gets its card, and no page is loaded anew.

    No more than two of them have to be said a second time.
    """
    again: list[tuple[str, str]] = []
    services.hear(Sound(np.zeros(16_000, dtype=np.float32)))  # until it is ready
    with serving(services) as running:
        page = speaking.new_page(viewport={"width": 390, "height": 844}, permissions=["microphone"])
        page.clock.install()
        page.goto(running.address)
        page.evaluate("globalThis.firstLoaded = true")
        for number, (text, kind, words) in enumerate(RUSH, 1):
            say(page, text, microphone)
            card = page.locator(f'.card[data-kind="{kind}"]', has_text=words)
            if not card.count():
                again.append((text, page.inner_text("#told")))
                say(page, text, microphone)
            keep_shot(page, f"rush-{number:02}")
            assert card.count(), f"{text}: {page.inner_text('#told')}; before: {again}"
        assert page.evaluate("globalThis.firstLoaded")
        page.close()
    assert len(again) <= SAID_AGAIN, again
    assert services.memory.recall().out == frozenset()
    assert len(services.memory.trail()) == 4
