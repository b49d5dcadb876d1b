"""The demo scripts: what three people say in a shift comes back as the scripts say, typed and spoken."""

from __future__ import annotations

import math
import wave
from array import array
from collections import Counter
from pathlib import Path

import pytest

from assistant.services import Services
from demo_audio_scripts import speak
from grammar.command import Intent
from tests.expected import told
from tests.scripts import FOLDER, Line, scripts
from tests.spoken import Outcome, Said, hearing_services, shift

SCRIPTS = scripts()
KINDS = {  # what an engine that knows drinks is asked, and the least that the scripts ask of each
    "balance": (Intent.BALANCE,),
    "families": (Intent.FAMILY,),
    "riffs": (Intent.RIFF,),
    "comparisons": (Intent.COMPARE,),
    "batches": (Intent.BATCH,),
    "prep": (Intent.PREP,),
    "what is out, and instead": (Intent.OUT_OF, Intent.SUBSTITUTE),
    "allergens": (Intent.CONTAINS,),
}
LEAST = 3


@pytest.fixture(scope="module")
def heard(tmp_path_factory: pytest.TempPathFactory) -> list[Said]:
    """What became of every line in the mouths of four voices, two of each synthesiser."""
    voices = speak.VOICES[: speak.FEW]
    if missing := [voice.program for voice in voices if not voice.is_here]:
        pytest.skip(f"not installed: {', '.join(missing)}")
    with hearing_services(tmp_path_factory.mktemp("spoken")) as services:
        return [said for voice in voices for lines in SCRIPTS.values() for said in shift(services, lines, voice)]


class TestText:
    """Every line, typed, through the real talk."""

    @pytest.mark.parametrize("name", SCRIPTS)
    def test_every_line_comes_back_as_written(self, name: str, tmp_path: Path) -> None:
        """Each script is one conversation, in order, on a database of its own."""
        services, before, wrong = Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}"), None, []
        for line in SCRIPTS[name]:
            reply = services.ask(line.say, name)
            if not line.is_answered(reply, before):
                wrong.append(f"{line.say!r} -> {told(reply)}; lacks {line.lacking(reply)}")
            before = reply
        services.close()
        assert not wrong, "\n".join(wrong)

    def test_a_shift_is_in_them(self) -> None:
        """Sixty lines and more, by a bartender, a trainee and a manager."""
        assert set(SCRIPTS) == {"bartender", "trainee", "manager"}
        assert sum(map(len, SCRIPTS.values())) >= 64

    @pytest.mark.parametrize("kind", KINDS)
    def test_every_kind_of_judgement_is_asked_for(self, kind: str) -> None:
        """Three real questions of each kind."""
        asked = Counter(intent for intent in map(_intent, _lines()) if intent in KINDS[kind])
        assert asked.total() >= LEAST

    def test_nearly_every_intent_is_said(self) -> None:
        """All but yes and no, which answer questions that these people never have to be asked, and names, which nobody
        has in a new database.
        """
        assert {_intent(line) for line in _lines()} >= set(Intent) - {Intent.YES, Intent.NO, Intent.INTRODUCE}


@pytest.mark.audio
class TestSpoken:
    """Every line, spoken, through the real recogniser and the real talk; DEVELOPERS.md has the figures."""

    def test_most_come_out_right(self, heard: list[Said]) -> None:
        """At least 85 of a hundred lines bring back what the script says."""
        right = sum(said.outcome is Outcome.RIGHT for said in heard)
        assert right / len(heard) >= 0.85, _amiss(heard)

    def test_few_are_answered_wrongly(self, heard: list[Said]) -> None:
        """At most three of a hundred get an answer to something else; the rest is asked again or not understood."""
        wrong = sum(said.outcome is Outcome.WRONG for said in heard)
        assert wrong / len(heard) <= 0.03, _amiss(heard)


class TestSpeak:
    """The program that speaks the scripts."""

    def test_speaks_every_line_of_every_script(self) -> None:
        """It reads the same lines, in the same order, as the tests do."""
        assert {name: [line.say for line in lines] for name, lines in SCRIPTS.items()} == {
            file.stem: speak.lines_of(file) for file in FOLDER.glob("*.toml")
        }

    def test_says_names_as_a_bar_does(self) -> None:
        """A name that synthesisers mangle is respelled for them, and nothing else is."""
        assert speak.as_said("batch thirty Negronis, and a negroni") == "batch thirty nigroni's, and a negroni"
        assert speak.as_said("what's in a gimlet") == "what's in a gimlet"

    @pytest.mark.parametrize("rate", [8_000, 22_050, 44_100])
    def test_keeps_a_tone_through_resampling(self, rate: int) -> None:
        """A tone of 1 kHz at a quarter of full scale is the same tone at 16 kHz, to one part in a hundred."""
        loudness, ends = 8_000, 400
        tone = array("h", (round(loudness * math.sin(2 * math.pi * 1_000 * n / rate)) for n in range(rate // 4)))
        found = speak.resampled(tone, rate)
        wanted = [loudness * math.sin(2 * math.pi * 1_000 * n / speak.RATE) for n in range(len(found))]
        assert abs(len(found) - speak.RATE // 4) <= 1
        assert max(abs(a - b) for a, b in zip(found[ends:-ends], wanted[ends:-ends], strict=True)) < loudness / 100

    def test_lets_nothing_through_that_would_fold_back(self) -> None:
        """What 16 kHz cannot hold, a tone of 10 kHz, is gone rather than heard as 6 kHz."""
        loudness, rate, ends = 8_000, 22_050, 400
        tone = array("h", (round(loudness * math.sin(2 * math.pi * 10_000 * n / rate)) for n in range(rate // 4)))
        assert max(map(abs, speak.resampled(tone, rate)[ends:-ends])) < loudness / 100

    def test_says_which_program_is_missing(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
    ) -> None:
        """Without a synthesiser it tells what to install, and fails."""
        monkeypatch.setenv("PATH", str(tmp_path))
        assert speak.main(["--voice", "flite-slt", "--out", str(tmp_path)]) == 1
        assert capsys.readouterr().err == "flite is not installed; on Debian or Ubuntu: apt install flite\n"

    def test_says_which_script_cannot_be_read(self, tmp_path: Path) -> None:
        """A file that is no script is named."""
        file = tmp_path / "odd.toml"
        file.write_text("line = 3", encoding="utf-8")
        with pytest.raises(speak.CannotSpeak, match=r"odd\.toml cannot be read as a script"):
            speak.lines_of(file)

    def test_lists_its_voices(self, capsys: pytest.CaptureFixture[str]) -> None:
        """Eight voices and more, of two synthesisers."""
        assert speak.main(["--list-voices"]) == 0
        listed = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
        assert listed == [voice.name for voice in speak.VOICES]
        assert len(listed) >= 8

    @pytest.mark.audio
    @pytest.mark.parametrize("voice", speak.VOICES, ids=lambda voice: voice.name)
    def test_every_voice_speaks(self, voice: speak.Voice, tmp_path: Path) -> None:
        """Each writes a second or so of sound at 16 kHz, mono, 16 bit, and not of silence."""
        if not voice.is_here:
            pytest.skip(f"{voice.program} is not installed")
        file = tmp_path / "said" / "gimlet.wav"
        speak.speak("what's in a gimlet", voice, file)
        with wave.open(str(file), "rb") as sound:
            assert (sound.getframerate(), sound.getnchannels(), sound.getsampwidth()) == (16_000, 1, 2)
            samples = array("h", sound.readframes(sound.getnframes()))
        assert 0.5 < len(samples) / 16_000 < 4
        assert max(map(abs, samples)) > 1_000


def _lines() -> list[Line]:
    return [line for lines in SCRIPTS.values() for line in lines]


def _amiss(heard: list[Said]) -> str:
    """What was said, heard and answered, wherever it did not come out right."""
    amiss = [said for said in heard if said.outcome is not Outcome.RIGHT]
    return "\n".join(
        f"{said.outcome.value}: {said.line.say!r} heard as {said.heard.text!r} -> {told(said.reply)}" for said in amiss
    )


def _intent(line: Line) -> Intent:
    return line.expected[0].intent
