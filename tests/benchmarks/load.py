"""A Saturday night at the door: thirty devices over TLS, six of them speaking. Prints a table.

The server is a process of its own, as `serve --lan` starts it; each device joins with the code and keeps its line.
A device that types asks about every four seconds, one that speaks about every ten; `--rate 3` has them all go thrice as
fast. An hour is shortened to as many questions as thirty devices ask when each asks one a minute: 1,800. At the end all
thirty ask in the same instant, five times over.

The devices run on the same machine, so what they cost is in the figures. The load average is printed beside them: where
others work on the machine too, times are theirs as well. On Linux with autogroups, root can put a run before them:
setsid sh -c 'echo -15 > /proc/self/autogroup; exec python -m tests.benchmarks.load'

Run: python -m tests.benchmarks.load [--seconds 180] [--rate 1]
"""

from __future__ import annotations

import argparse
import http.client
import json
import os
import random
import re
import ssl
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from demo_audio_scripts.speak import VOICES, speak

TOLD = "told to try again"
DEVICES, SPEAKING = 30, 6
TYPED_EACH_S, SPOKEN_EACH_S = 4.0, 10.0
HOUR = 1_800  # questions
BURSTS = 5
AIMS_S = {"typed": 0.150, "spoken": 1.2, TOLD: 1.0}  # the 95th of a hundred; of being told, the most
BUSY = 429
FINE = (200, BUSY)
HEAD = "| load | asked | errors (status) | p50 ms | p95 ms | most ms | aim ms |"
SAID = (
    "what's in a gimlet",
    "make it three",
    "how much lime",
    "what does a daiquiri cost",
    "next step",
    "are there nuts in a gimlet",
)
TYPED = (
    *SAID,
    "quiz me on the sours",
    "batch forty manhattans",
    "we're out of orgeat",
    "undo that",
    "can i make a gimlet",
)
JSON = {"Content-Type": "application/json"}
WAV = {"Content-Type": "audio/wav"}


@dataclass(frozen=True)
class Asked:
    """One question of one device."""

    how: str  # 'typed' or 'spoken'
    took_s: float
    status: int  # 0: no answer at all

    @property
    def what(self) -> str:
        """The row that it counts in."""
        return TOLD if self.status == BUSY else self.how


@dataclass(frozen=True)
class Served:
    """The server's process, and how devices reach it."""

    pid: int
    port: int
    code: str
    trust: ssl.SSLContext

    def memory_mb(self) -> float:
        """Resident memory of the server and its workers, in megabytes."""
        return sum(resident_kb(pid) for pid in (self.pid, *_children(self.pid))) / 1000


@contextmanager
def served(home: Path) -> Iterator[Served]:
    """`serve --lan` on this machine's own address, with a home of its own."""
    command = [sys.executable, "-c", "from assistant.cli import main; main()", "serve", "--lan"]
    folders = dict.fromkeys(("HOME", "XDG_CONFIG_HOME", "TMPDIR"), str(home))
    environment = (
        os.environ | folders | {"PYTHONUNBUFFERED": "1", "PREP_ASSISTANT_DATABASE": f"sqlite:///{home / 'db'}"}
    )
    with subprocess.Popen(
        [*command, "--host", "127.0.0.1", "--port", "0"], stdout=subprocess.PIPE, text=True, env=environment
    ) as process:
        try:
            assert process.stdout
            printed = "".join(iter(process.stdout.readline, "Ctrl-C ends it.\n"))
            port, code = re.search(r":(\d+)/ and give this code: (\w+ \w+)", printed).groups()  # type: ignore[union-attr]
            certificate = next(home.rglob("certificate.pem"))
            yield Served(process.pid, int(port), code, ssl.create_default_context(cafile=str(certificate)))
        finally:
            process.terminate()


class Device:
    """A phone or tablet: joined, and with a connection that it keeps."""

    def __init__(self, served: Served, number: int) -> None:
        self.name = f"device-{number}"
        self._line = http.client.HTTPSConnection("127.0.0.1", served.port, timeout=30, context=served.trust)
        self._line.request("POST", "/api/join", json.dumps({"code": served.code}), JSON)
        answer = self._line.getresponse()
        self._cookie = {"Cookie": answer.headers["Set-Cookie"].partition(";")[0]}
        answer.read()

    def types(self, text: str) -> int:
        """The status of a typed question."""
        return self._post("/api/ask", json.dumps({"text": text, "conversation": self.name}).encode(), JSON)

    def says(self, sound: bytes) -> int:
        """The status of a spoken question."""
        return self._post(f"/api/hear?conversation={self.name}", sound, WAV)

    def _post(self, path: str, body: bytes, headers: dict[str, str]) -> int:
        for _ in range(2):  # a line that the server closed while nobody spoke is opened anew, as browsers do
            try:
                self._line.request("POST", path, body, headers | self._cookie)
                answer = self._line.getresponse()
                answer.read()
            except (ConnectionError, ssl.SSLEOFError):
                self._line.close()
            except (OSError, http.client.HTTPException):
                break
            else:
                return answer.status
        self._line.close()
        return 0


@dataclass(frozen=True)
class Person:
    """Somebody with a device, who types or speaks."""

    device: Device
    sounds: Sequence[bytes] = ()  # those of who speaks

    @property
    def how(self) -> str:
        """'typed' or 'spoken'."""
        return "spoken" if self.sounds else "typed"

    def asks(self, chance: random.Random) -> Asked:
        """One question, with its time."""
        questions: Sequence[str | bytes] = self.sounds or TYPED
        question = chance.choice(questions)
        at = time.perf_counter()
        status = self.device.types(question) if isinstance(question, str) else self.device.says(question)
        return Asked(self.how, time.perf_counter() - at, status)


def night(people: Sequence[Person], seconds: float, rate: float) -> list[Asked]:
    """Everybody asking, each at their own pace, for some time."""
    began = time.perf_counter()
    asked: list[Asked] = []

    def sit(number: int, person: Person) -> None:
        chance = random.Random(number)
        pause = (SPOKEN_EACH_S if person.sounds else TYPED_EACH_S) / rate
        time.sleep(chance.uniform(0, pause))
        while time.perf_counter() - began < seconds:
            asked.append(person.asks(chance))
            time.sleep(chance.uniform(0.5, 1.5) * pause)

    threads = [threading.Thread(target=sit, args=(number, person)) for number, person in enumerate(people)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return asked


def instant(people: Sequence[Person]) -> list[Asked]:
    """Everybody asking at once, some times over."""
    asked: list[Asked] = []
    with ThreadPoolExecutor(len(people)) as together:
        for number in range(BURSTS):
            asks = [together.submit(person.asks, random.Random(number)) for person in people]
            asked += [each.result() for each in asks]
            time.sleep(6)
    return asked


def rows(when: str, asked: Sequence[Asked]) -> list[str]:
    """The rows of a table for typed and for spoken questions, and for those that were told to try again."""
    return [_row(f"{what}, {when}", [each for each in asked if each.what == what], AIMS_S[what]) for what in AIMS_S]


def _row(name: str, asked: Sequence[Asked], aim_s: float) -> str:
    took = np.array([each.took_s for each in asked]) * 1000
    p50, p95 = np.percentile(took, (50, 95)) if len(took) else (0, 0)
    wrong = sorted(Counter(each.status for each in asked if each.status not in FINE).items())
    errors = ", ".join(f"{number} of {status}" for status, number in wrong)
    times = f"{p50:.0f} | {p95:.0f} | {took.max(initial=0):.0f}"
    return f"| {name} | {len(asked)} | {errors or 0} | {times} | {aim_s * 1000:.0f} |"


class Scale:
    """Weighs the server once a second."""

    def __init__(self, served: Served) -> None:
        self._served, self._ended = served, threading.Event()
        self.weights: list[tuple[float, float]] = []  # seconds, megabytes
        self._thread = threading.Thread(target=self._weigh)

    def __enter__(self) -> Scale:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._ended.set()
        self._thread.join()

    def _weigh(self) -> None:
        began = time.perf_counter()
        while not self._ended.wait(1):
            self.weights.append((time.perf_counter() - began, self._served.memory_mb()))

    def told(self, asked: int) -> str:
        """What it weighs, and how fast that grows after the first third, in which it fills what it keeps."""
        late = np.array(self.weights[len(self.weights) // 3 :])
        slope = np.polyfit(late[:, 0], late[:, 1], 1)[0]  # megabytes a second
        hours = asked / HOUR
        by_hour = slope * self.weights[-1][0] / hours
        first, last, most = self.weights[0][1], self.weights[-1][1], max(mb for _, mb in self.weights)
        return (
            f"Memory of server and workers: {first:.0f} MB at first, {last:.0f} MB at last, at most {most:.0f} MB;"
            f" {by_hour:+.1f} MB an hour, by a line through the last two thirds of {hours:.1f} hours of questions."
        )


def _children(pid: int) -> list[int]:
    found = []
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            try:
                parent = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
            except OSError:
                continue
            if parent == pid:
                found += [int(folder.name), *_children(int(folder.name))]
    return found


def resident_kb(pid: int) -> int:
    """The memory that a process holds, in kilobytes; 0 when it is gone."""
    try:
        status = Path(f"/proc/{pid}/status").read_text()
    except OSError:
        return 0
    return int(found[1]) if (found := re.search(r"VmRSS:\s+(\d+)", status)) else 0


def spoken(folder: Path) -> list[bytes]:
    """Each line as a voice says it."""
    voices = {voice.name: voice for voice in VOICES}
    files = []
    for number, text in enumerate(SAID):
        file = folder / f"{number}.wav"
        speak(text, voices["flite-slt" if number % 2 else "flite-rms"], file)
        files.append(file.read_bytes())
    return files


def measured(seconds: float, rate: float) -> tuple[list[str], list[Asked]]:
    """The table's rows with what stands below it, and all that was asked."""
    with tempfile.TemporaryDirectory() as folder, served(Path(folder)) as server:
        sounds = spoken(Path(folder))
        people = [Person(Device(server, number), sounds if number < SPEAKING else ()) for number in range(DEVICES)]
        while people[0].device.says(sounds[0]) != 200:  # the recognisers are being made ready
            time.sleep(2)
        with Scale(server) as scale:
            asked = night(people, seconds, rate)
        weight = scale.told(len(asked))
        at_once = instant(people)
    table = [HEAD, "| --- " * HEAD.count(" | ") + "| --- |", *rows("each at its pace", asked)]
    load = ", ".join(f"{each:.1f}" for each in os.getloadavg())
    told = [*table, *rows("all in one instant", at_once), "", weight, f"Load average: {load}."]
    return told, [*asked, *at_once]


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    options.add_argument("--seconds", type=float, default=180, help="how long the night is")
    options.add_argument("--rate", type=float, default=1, help="how many times faster everyone asks")
    given = options.parse_args()
    print("\n".join(measured(given.seconds, given.rate)[0]))


if __name__ == "__main__":
    main()
