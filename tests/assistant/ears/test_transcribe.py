"""Recordings through any grammar: one result a file, and a faulty file does not end the run."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.ears.choose import POCKETSPHINX
from assistant.ears.errors import WordNotSayable
from assistant.ears.transcribe import transcribe
from demo_audio_scripts.speak import VOICES, speak
from grammar.errors import JsgfError

GRAMMAR = """#JSGF V1.0;
grammar bar;
public <order> = (one | two | three) (gimlets | margaritas | sidecars) [please];
"""


@pytest.fixture
def grammar(tmp_path: Path) -> Path:
    """A small bar's grammar."""
    file = tmp_path / "bar.jsgf"
    file.write_text(GRAMMAR, encoding="utf-8")
    return file


@pytest.mark.audio
@pytest.mark.parametrize("voice", VOICES[:4], ids=lambda voice: voice.name)
def test_each_file_is_heard_in_its_turn(grammar: Path, tmp_path: Path, voice: object) -> None:
    """Good files come out in words, in their order; files at fault come out with their fault."""
    chosen = next(known for known in VOICES if known is voice)
    if not chosen.is_here:
        pytest.skip(f"{chosen.program} is not installed")
    said = ("two margaritas please", "three sidecars")
    for number, text in enumerate(said):
        speak(text, chosen, tmp_path / f"{number}.wav")
    files = [tmp_path / "0.wav", grammar, tmp_path / "nothing.wav", tmp_path / "1.wav"]
    found = list(transcribe(grammar, files, POCKETSPHINX))
    assert [each.file for each in found] == [str(file) for file in files]
    assert [each.text for each in found] == [said[0], "", "", said[1]]
    assert [bool(each.fault) for each in found] == [False, True, True, False]
    assert all(each.work_s > 0 and each.audio_s > 0.5 for each in (found[0], found[3]))


def test_a_faulty_grammar_is_told_with_its_line(tmp_path: Path) -> None:
    """Before any file is opened."""
    file = tmp_path / "bar.jsgf"
    file.write_text("#JSGF V1.0;\ngrammar bar;\npublic <order> = (one;\n", encoding="utf-8")
    with pytest.raises(JsgfError, match=r"bar\.jsgf:3"):
        list(transcribe(file, [], POCKETSPHINX))


def test_words_that_cannot_be_listened_for_are_told(tmp_path: Path) -> None:
    """A grammar with digits would be heard without them; it is refused instead."""
    file = tmp_path / "bar.jsgf"
    file.write_text("#JSGF V1.0;\ngrammar bar;\npublic <order> = table 7 | table 8;\n", encoding="utf-8")
    with pytest.raises(WordNotSayable) as refused:
        list(transcribe(file, [], POCKETSPHINX))
    assert refused.value.words == ("7", "8")
