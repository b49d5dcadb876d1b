"""The commands that hear, with a voice and the real recogniser; and the list of models.

The drink is one whose name this voice says well: its "gimlet" is often asked back.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

from assistant.cli import main
from assistant.ears import commands, listening
from assistant.ears.base import RATE, Sound
from assistant.ears.models import known
from assistant.ears.sound import open_sound
from assistant.services import Services
from demo_audio_scripts.speak import VOICES, speak
from tests.assistant.fakes import FakeServices
from tests.spoken import given_time

VOICE = next((voice for voice in VOICES if voice.program == "flite" and voice.is_here), VOICES[0])
GRAMMAR = "#JSGF V1.0 UTF-8 en;\ngrammar bar;\npublic <order> = [make] (one | two | three) (gimlets | negronis);\n"

aloud = pytest.mark.skipif(not VOICE.is_here, reason="no speech synthesiser is installed")


@pytest.fixture(autouse=True)
def in_no_hurry() -> Iterator[None]:
    """What is claimed here is not how fast it hears."""
    with given_time():
        yield


@pytest.fixture
def database(tmp_path: Path) -> str:
    """A database of the test's own."""
    return f"sqlite:///{tmp_path / 'shift.db'}"


def spoken(text: str, folder: Path) -> str:
    """A recording of a text."""
    file = folder / f"{text.replace(' ', '-')}.wav"
    speak(text, VOICE, file)
    return str(file)


def run(*words: str) -> Result:
    """Run a command, with the recogniser that needs no download."""
    return CliRunner().invoke(main, [*words, "--recogniser", "pocketsphinx"])


@aloud
@pytest.mark.audio
def test_recordings_are_one_conversation(tmp_path: Path, database: str) -> None:
    """The second recording is about what the first asked; each is printed with what was heard in it."""
    files = [spoken("what's in a daiquiri", tmp_path), spoken("make it three", tmp_path)]
    ended = run("--database", database, "hear", *files)
    assert ended.exit_code == 0, ended.output
    assert f"{files[1]}: \u201cmake it three\u201d" in ended.output
    assert "Three Daiquiris" in ended.output


@aloud
@pytest.mark.audio
def test_what_was_heard_is_json_for_programs(tmp_path: Path, database: str) -> None:
    """One object a recording, the same as for typed text, with what was heard and by whom."""
    ended = run("--database", database, "hear", "--json", spoken("what's in a daiquiri", tmp_path))
    reply = json.loads(ended.output)
    assert reply["command"] == {
        "intent": "spec",
        "slots": {"drink": "Daiquiri"},
        "confidence": reply["command"]["confidence"],
    }
    assert reply["heard"]["recogniser"] == "pocketsphinx"
    assert 0.5 < reply["heard"]["audio_s"] < 5


@aloud
@pytest.mark.audio
def test_any_grammar_will_do(tmp_path: Path) -> None:
    """Recordings are heard against the grammar given; one that is no sound is told, and ends nothing."""
    grammar = tmp_path / "bar.jsgf"
    grammar.write_text(GRAMMAR)
    files = [spoken("make two negronis", tmp_path), str(tmp_path / "none.wav"), spoken("three gimlets", tmp_path)]
    ended = run("transcribe", "--json", "--grammar", str(grammar), *files)
    lines = [json.loads(line) for line in ended.stdout.splitlines()]
    assert [line["text"] for line in lines] == ["make two negronis", "", "three gimlets"]
    assert [line["file"] for line in lines] == files
    assert set(lines[0]) == {"file", "text", "confidence", "audio_s", "work_s"}
    assert "none.wav" in ended.stderr
    assert ended.exit_code == 1


@aloud
@pytest.mark.audio
def test_the_microphone_is_answered_aloud(tmp_path: Path, database: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the microphone hears is answered and spoken; noise is not; Ctrl-C ends it."""
    question = open_sound(spoken("what's in a daiquiri", tmp_path)).samples
    room = np.random.default_rng(3).standard_normal(RATE).astype(np.float32) * 0.001
    turns = [np.concatenate([room, question, room, room]), None]
    said: list[str] = []

    def heard() -> Iterator[Sound]:
        """One question, and then Ctrl-C."""
        samples = turns.pop(0)
        if samples is None:
            raise KeyboardInterrupt
        yield from (Sound(piece) for piece in np.array_split(samples, 60))

    monkeypatch.setattr(commands, "pieces", heard)
    monkeypatch.setattr("assistant.voice.speak", lambda text, slow: said.append(text))
    ended = run("--database", database, "listen")
    assert ended.exit_code == 0, ended.output
    assert "Daiquiri: two ounces white rum" in ended.output
    assert [sentence.split(":")[0] for sentence in said] == ["Daiquiri"]


@aloud
@pytest.mark.audio
def test_hands_free_only_what_follows_the_phrase_is_answered(
    tmp_path: Path, database: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Talk to somebody else is not; what follows the phrase is, with a bell; Ctrl-C while it speaks only hushes it."""
    other, asked = (
        open_sound(spoken(text, tmp_path)).samples for text in ("what does a tidewrack cost", "what's in a daiquiri")
    )
    phrase = open_sound(spoken("Skerry Haven.", tmp_path)).samples
    room = np.random.default_rng(3).standard_normal(2 * RATE).astype(np.float32) * 0.001
    turns = [np.concatenate([room, other, room, phrase, room, asked, room]), None]
    said: list[str] = []

    def heard() -> Iterator[Sound]:
        """A minute at the bar, and then Ctrl-C."""
        samples = turns.pop(0)
        if samples is None:
            raise KeyboardInterrupt
        yield from (Sound(piece) for piece in np.array_split(samples, len(samples) // 3_200))

    def hushed(text: str, slow: bool) -> None:
        """Cut short at once."""
        said.append(text)
        raise KeyboardInterrupt

    monkeypatch.setattr(listening, "pieces", heard)
    monkeypatch.setattr("assistant.voice.speak", hushed)
    ended = run("--database", database, "listen", "--hands-free")
    assert ended.exit_code == 0, ended.output
    assert "\aListening." in ended.output
    assert [sentence.split(":")[0] for sentence in said] == ["Daiquiri"]
    assert "Tidewrack" not in ended.output
    assert turns == []


def test_a_house_without_a_phrase_says_so(monkeypatch: pytest.MonkeyPatch, database: str) -> None:
    """There is nothing to wait for, and where to write it."""
    monkeypatch.setattr(Services, "book", property(lambda services: FakeServices().tonight().book))
    ended = run("--database", database, "listen", "--hands-free")
    assert ended.exit_code == 1
    assert "wake_phrase" in ended.output


def test_the_models_are_listed() -> None:
    """Every model that can be fetched is named, with its size or its place."""
    for words in (["models"], ["models", "list"]):
        ended = CliRunner().invoke(main, words)
        assert ended.exit_code == 0
        assert [line.split(":")[0] for line in ended.output.splitlines()] == [model.name for model in known()]
