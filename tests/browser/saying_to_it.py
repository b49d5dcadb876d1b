"""How a person speaks to the page: a voice goes into the browser's microphone while the space bar is held.

The browser's microphone plays its file from the start each time that it is opened.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import soundfile
from playwright.sync_api import Page, expect

from assistant.ears.base import RATE
from demo_audio_scripts.speak import VOICES
from tests.spoken import said_by

VOICE = next((voice for voice in VOICES if voice.program == "flite" and voice.is_here), VOICES[0])
QUIET_BEFORE_S = 0.8  # the microphone opens at the press, and plays its file from then on; a busy machine listens late
QUIET_AFTER_S = 2.0
HELD_AFTER_S = 0.2
ANSWERED_MS = 40_000  # longer than the page itself waits


def hold_and_say(page: Page, text: str, microphone: Path) -> None:
    """Hold the space bar, have the text said, let go a moment after; wait for the answer."""
    seconds = _record(text, microphone)
    page.keyboard.down("Space")
    expect(page.locator("#state-word")).to_have_text("Listening")
    page.wait_for_timeout(1000 * (QUIET_BEFORE_S + seconds + HELD_AFTER_S))
    page.keyboard.up("Space")
    expect(page.locator("body")).to_have_attribute("data-state", "ready", timeout=ANSWERED_MS)


def _record(text: str, file: Path) -> float:
    """Write the spoken text with silence around it; its length without the silence, in seconds."""
    sound = said_by(VOICE, text)
    before, after = (np.zeros(int(RATE * seconds)) for seconds in (QUIET_BEFORE_S, QUIET_AFTER_S))
    soundfile.write(file, np.concatenate([before, sound.samples, after]), RATE, subtype="PCM_16")
    return sound.seconds
