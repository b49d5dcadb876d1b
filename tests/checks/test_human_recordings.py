"""Recordings of people through the whole of `transcribe`: those that Debian ships for testing PocketSphinx.

The package is `pocketsphinx-testdata`; its own transcriptions are what must come out, with its own grammar for the
cards and ours for the rest.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.ears.choose import POCKETSPHINX
from assistant.ears.transcribe import transcribe

pytestmark = pytest.mark.audio

DATA = Path("/usr/share/pocketsphinx/test/data")  # where Debian's package puts them
RAW_RATE = 16_000

GO = """#JSGF V1.0;
grammar go;
public <move> = go (forward | backward | back) <distance> (meter | meters | feet);
<distance> = one | two | three | four | five | six | seven | eight | nine | ten | twenty;
"""
NOVEL = """#JSGF V1.0;
grammar novel;
public <sentence> =
    and mister john dashwood had then leisure to consider how much there might be prudently in his power to do for them
  | he was not an ill disposed young man
  | unless to be rather cold hearted and rather selfish is to be ill disposed
  | he was (well | badly) (liked | respected) [by all who knew him]
  | (spec | recipe) for a (gimlet | margarita | negroni);
"""


@pytest.fixture
def cards() -> Path:
    """The folder of the card players."""
    if not DATA.is_dir():
        pytest.skip("the package pocketsphinx-testdata is not installed")
    return DATA / "cards"


def transcriptions(file: Path) -> dict[str, str]:
    """What was said, by recording: lines as '<s> ten of clubs  </s> (001)'."""
    lines = file.read_text(encoding="utf-8").split("\n")
    parted = [line.replace("<s>", "").replace("</s>", "").rpartition("(") for line in lines if "(" in line]
    return {name.rstrip(") "): " ".join(said.split()) for said, _, name in parted}


def test_a_card_player_is_understood(cards: Path) -> None:
    """Five calls of one to three cards, with the grammar that comes with them."""
    said = transcriptions(cards / "cards.transcription")
    files = [cards / f"{name}.wav" for name in said]
    found = list(transcribe(cards / "cards.gram", files, POCKETSPHINX))
    assert len(said) == 5
    assert [each.text for each in found] == list(said.values())


def test_a_robot_driver_is_understood(cards: Path, tmp_path: Path) -> None:
    """'Go forward ten meters', from a file of raw samples, among 66 other ways to go."""
    grammar, file = tmp_path / "go.jsgf", tmp_path / "go.wav"
    grammar.write_text(GO, encoding="utf-8")
    samples = np.frombuffer((cards.parent / "goforward.raw").read_bytes(), "<i2")
    soundfile.write(file, samples, RAW_RATE)
    (found,) = transcribe(grammar, [file], POCKETSPHINX)
    assert found.text == "go forward ten meters"


def test_sentences_of_a_novel_are_told_apart(cards: Path, tmp_path: Path) -> None:
    """A reader of LibriVox: three long sentences, and questions of a bar beside them."""
    grammar = tmp_path / "novel.jsgf"
    grammar.write_text(NOVEL, encoding="utf-8")
    read = list(transcriptions(cards.parent / "librivox" / "transcription").items())[:3]
    files = [cards.parent / "librivox" / f"{name}.wav" for name, _ in read]
    assert [each.text for each in transcribe(grammar, files, POCKETSPHINX)] == [text for _, text in read]
