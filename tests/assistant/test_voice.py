"""This machine's own voice: how each program is asked to speak, and to speak slowly."""

from __future__ import annotations

import shutil
import subprocess
import wave
from pathlib import Path

import pytest

from assistant import voice
from assistant.messages import Reply
from assistant.voice import SPEAKERS, Speaker, Voice, speak

QUESTION = "How is the Daiquiri mixed?"


@pytest.mark.parametrize("speaker", SPEAKERS, ids=lambda speaker: speaker.program)
def test_a_text_is_never_taken_for_an_option(speaker: Speaker) -> None:
    """It comes last, after the option that ends all others; slowly adds options before it."""
    assert speaker.command(QUESTION, slow=False) == [speaker.program, speaker.text, QUESTION]
    assert speaker.command(QUESTION, slow=True) == [speaker.program, *speaker.slowly, speaker.text, QUESTION]


@pytest.mark.parametrize(("program", "to_file"), [("espeak-ng", ("-w",)), ("flite", ("-o",))])
def test_slowly_takes_a_third_longer_at_least(tmp_path: Path, program: str, to_file: tuple[str, ...]) -> None:
    """By the program itself, where this machine has it."""
    if shutil.which(program) is None:
        pytest.skip(f"no {program} here")
    (speaker,) = (one for one in SPEAKERS if one.program == program)
    seconds = []
    for slow in (False, True):
        file = tmp_path / f"{slow}.wav"
        first, *rest = speaker.command(QUESTION, slow)
        subprocess.run([first, *to_file, str(file), *rest], check=True, capture_output=True)
        with wave.open(str(file)) as sound:
            seconds.append(sound.getnframes() / sound.getframerate())
    assert seconds[1] > seconds[0] * 4 / 3


def test_without_a_voice_there_is_silence(monkeypatch: pytest.MonkeyPatch) -> None:
    """And no error."""
    monkeypatch.setattr(voice, "speaker", lambda: None)
    speak(QUESTION, slow=True)


def test_a_reply_may_switch_the_voice(monkeypatch: pytest.MonkeyPatch) -> None:
    """From 'voice off' to 'voice on' nothing is spoken, the answer to the first not either."""
    said: list[str] = []
    monkeypatch.setattr(voice, "speak", lambda text, slow: said.append(text))
    own = Voice(is_on=True)
    for reply in (Reply("One."), Reply("Off.", voice="off"), Reply("Two."), Reply("On.", voice="on"), Reply("Three.")):
        own.speak(reply)
    assert said == ["One.", "On.", "Three."]
