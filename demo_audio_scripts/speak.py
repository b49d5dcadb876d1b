"""Speaks the scripts' lines into WAV files (16 kHz, mono, 16 bit) with the voices of espeak-ng, flite and festival.

    python demo_audio_scripts/speak.py --list-voices
    python demo_audio_scripts/speak.py --script bartender --voice espeak-en-gb --voice flite-slt --out spoken

Each line becomes OUT/VOICE/SCRIPT-NN.wav, numbered in the order of the conversation. Nothing but Python is needed, and
espeak-ng, flite or festival from the system's packages.
"""

from __future__ import annotations

import argparse
import math
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
import wave
from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from operator import mul
from pathlib import Path

RATE = 16_000  # samples per second of every file written
FULL_SCALE = 32_767
ZERO_CROSSINGS = 16  # of the resampling filter, to each side
TIME_LIMIT_S = 60  # for one line; a synthesiser takes far less
HERE = Path(__file__).parent


class CannotSpeak(Exception):  # noqa: N818  # says what happened, not that it is an error
    """A line could not be spoken; the text says why and what to do."""


@dataclass(frozen=True)
class Voice:
    """One voice of a synthesiser."""

    name: str
    program: str  # 'espeak-ng', 'flite', or festival's 'text2wave'
    own_name: str  # what the synthesiser calls it

    @property
    def is_here(self) -> bool:
        """Whether its synthesiser is installed."""
        return shutil.which(self.program) is not None

    def command(self, text: str, file: Path) -> list[str]:
        """What to run, with the text as its input too, so that it is spoken into the file."""
        if self.program == "flite":
            return ["flite", "-voice", self.own_name, "-t", text, "-o", str(file)]
        if self.program == "text2wave":
            return ["text2wave", "-eval", f"(voice_{self.own_name})", "-o", str(file)]
        return ["espeak-ng", "-v", self.own_name, "-w", str(file), "--", text]


VOICES = (  # the first four are those that speak when none is chosen: two of each synthesiser
    Voice("espeak-en-us", "espeak-ng", "en-us"),
    Voice("espeak-en-gb", "espeak-ng", "en-gb"),
    Voice("flite-slt", "flite", "slt"),
    Voice("flite-rms", "flite", "rms"),
    Voice("espeak-en-us-f3", "espeak-ng", "en-us+f3"),
    Voice("espeak-en-gb-scotland", "espeak-ng", "en-gb-scotland"),
    Voice("flite-awb", "flite", "awb"),
    Voice("flite-kal16", "flite", "kal16"),
    Voice("espeak-en-gb-x-rp", "espeak-ng", "en-gb-x-rp"),
    Voice("espeak-en-029", "espeak-ng", "en-029"),
    Voice("festival-kal", "text2wave", "kal_diphone"),
)
FEW = 4

RESPELLED = {  # names that synthesisers say as nobody does, written so that they say them as a bar does
    "daiquiri": "dackery",
    "falernum": "falurnum",
    "gannet's": "gan it's",
    "negronis": "nigroni's",
    "orgeat": "or zhat",
    "tidewrack": "tide rack",
    "vieux carre": "view car ray",
}


def as_said(text: str) -> str:
    """The text with names respelled for a synthesiser."""
    for name, respelled in RESPELLED.items():
        text = re.sub(rf"\b{re.escape(name)}\b", respelled, text, flags=re.IGNORECASE)
    return text


def speak(text: str, voice: Voice, file: Path) -> None:
    """Speak a text into a WAV file. Raises CannotSpeak."""
    if not voice.is_here:
        raise CannotSpeak(f"{voice.program} is not installed; on Debian or Ubuntu: apt install {voice.program}")
    with tempfile.TemporaryDirectory() as folder:
        raw = Path(folder) / "raw.wav"
        _run(voice.command(as_said(text), raw), voice, text)
        samples, rate = _read(raw, voice, text)
    _write(resampled(samples, rate), file)


def lines_of(script: Path) -> list[str]:
    """What is said in a script, line by line. Raises CannotSpeak."""
    try:
        entries = tomllib.loads(script.read_text(encoding="utf-8"))["line"]
        return [entry["say"] for entry in entries]
    except (OSError, tomllib.TOMLDecodeError, KeyError, TypeError) as cause:
        raise CannotSpeak(f"{script} cannot be read as a script: {cause!r}") from cause


def resampled(samples: array[int], rate: int) -> array[int]:
    """The samples at RATE: band-limited interpolation, a sinc under a Hann window, one filter for each phase."""
    if rate == RATE:
        return samples
    up, down = RATE // math.gcd(RATE, rate), rate // math.gcd(RATE, rate)
    filters = [_filter(phase / up, min(1.0, up / down)) for phase in range(up)]
    reach = len(filters[0]) // 2
    padded = [0] * reach + samples.tolist() + [0] * (reach + 1)
    found = array("h")
    for number in range(len(samples) * up // down):
        at, phase = divmod(number * down, up)
        value = sum(map(mul, filters[phase], padded[at : at + 2 * reach]))
        found.append(max(-FULL_SCALE, min(FULL_SCALE, round(value))))
    return found


def _filter(offset: float, cutoff: float) -> list[float]:
    """Weights of the samples around a place `offset` after one of them; they let pass what lies below the cut-off."""
    reach = math.ceil(ZERO_CROSSINGS / cutoff)
    return [_weight(step - offset, cutoff, reach) for step in range(-reach, reach)]


def _weight(distance: float, cutoff: float, reach: int) -> float:
    if abs(distance) >= reach:
        return 0.0
    turn = math.pi * distance * cutoff
    sinc = 1.0 if turn == 0 else math.sin(turn) / turn
    return cutoff * sinc * (0.5 + 0.5 * math.cos(math.pi * distance / reach))


def _run(command: list[str], voice: Voice, text: str) -> None:
    try:
        ran = subprocess.run(command, input=text, capture_output=True, text=True, timeout=TIME_LIMIT_S, check=False)
    except (OSError, subprocess.TimeoutExpired) as cause:
        raise CannotSpeak(f"{voice.name} could not say {text!r}: {cause}") from cause
    if ran.returncode != 0:
        raise CannotSpeak(f"{voice.name} could not say {text!r}: {ran.stderr.strip() or f'exit {ran.returncode}'}")


def _read(file: Path, voice: Voice, text: str) -> tuple[array[int], int]:
    """The samples that a synthesiser wrote, and their rate."""
    try:
        with wave.open(str(file), "rb") as sound:
            if (sound.getnchannels(), sound.getsampwidth()) != (1, 2):
                raise CannotSpeak(f"{voice.name} wrote neither mono nor 16 bit")
            rate, samples = sound.getframerate(), array("h", sound.readframes(sound.getnframes()))
    except (OSError, EOFError, wave.Error) as cause:
        raise CannotSpeak(f"{voice.name} wrote no sound for {text!r}: {cause}") from cause
    if sys.byteorder == "big":
        samples.byteswap()
    if not samples:
        raise CannotSpeak(f"{voice.name} wrote an empty sound for {text!r}")
    return samples, rate


def _write(samples: array[int], file: Path) -> None:
    if sys.byteorder == "big":
        samples = samples[:]
        samples.byteswap()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with wave.open(str(file), "wb") as sound:
            sound.setnchannels(1)
            sound.setsampwidth(2)
            sound.setframerate(RATE)
            sound.writeframes(samples.tobytes())
    except OSError as cause:
        raise CannotSpeak(f"{file} cannot be written: {cause}") from cause


def listed() -> str:
    """The voices, and which of them this machine can speak with."""
    rows = [f"{voice.name:<24}{'' if voice.is_here else f'needs {voice.program}'}".rstrip() for voice in VOICES]
    return "\n".join(rows)


def main(arguments: Sequence[str] | None = None) -> int:
    """Speak what the arguments choose; 0 when all of it was spoken."""
    chosen = _parser().parse_args(arguments)
    if chosen.list_voices:
        print(listed())
        return 0
    voices = [voice for voice in VOICES if voice.name in chosen.voice] if chosen.voice else list(VOICES[:FEW])
    scripts = [HERE / f"{name}.toml" for name in chosen.script] or sorted(HERE.glob("*.toml"))
    try:
        for voice in voices:
            for script in scripts:
                count = _speak_script(script, voice, chosen.out)
                print(f"{voice.name}: {count} lines of {script.stem} in {chosen.out / voice.name}")
    except CannotSpeak as problem:
        print(problem, file=sys.stderr)
        return 1
    return 0


def _speak_script(script: Path, voice: Voice, out: Path) -> int:
    lines = lines_of(script)
    for number, text in enumerate(lines, 1):
        speak(text, voice, out / voice.name / f"{script.stem}-{number:02}.wav")
    return len(lines)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description="Speak the demo scripts' lines into WAV files.")
    add = parser.add_argument
    names, scripts = [voice.name for voice in VOICES], sorted(file.stem for file in HERE.glob("*.toml"))
    add("--script", action="append", default=[], choices=scripts, help="may be given again; all when left out")
    add("--voice", action="append", default=[], choices=names, metavar="VOICE", help="may be given again; see the list")
    add("--out", type=Path, default=Path("spoken"), help="folder for the files (default: %(default)s)")
    add("--list-voices", action="store_true", help="list the voices and stop")
    return parser


if __name__ == "__main__":
    sys.exit(main())
