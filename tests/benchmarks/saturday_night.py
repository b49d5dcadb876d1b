"""Does it hold up? Load, faults and bad input, one after another. Prints the tables, and ends with 1 where one fell.

Load is `load`'s. Faults are made by the tests named below, each of which makes one and looks whether anything is lost;
they are run here, counted and timed. Inputs are thrown at every door by the thousand: what became of them, the slowest
answer, and the most memory that one took.

Run: python -m tests.benchmarks.saturday_night [--seconds 180] [--inputs 2000]
"""

from __future__ import annotations

import argparse
import io
import json
import random
import re
import subprocess
import sys
import tempfile
import time
import tracemalloc
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import numpy as np
import soundfile
from flask.testing import FlaskClient

from assistant.answers import price_list, recipe_list, sales_list
from assistant.errors import ListRefused
from assistant.office.recipe_import import read_recipes
from assistant.office.sales import read_sales
from assistant.office.supplier import preview
from assistant.services import Services
from assistant.web import create_app
from grammar import jsgf, network
from grammar.errors import GrammarError
from recipes.loader import book_of, texts_of
from tests.assistant.fakes import FakeServices
from tests.benchmarks import load

ROOT = Path(__file__).parents[2]
FAULTS = {
    "the server killed in the middle of 500 changes": ("tests/assistant/care/test_killed.py", ""),
    "a full disk, a read-only one, a damaged database": ("tests/assistant/care/test_faults.py", ""),
    "a clock that jumps": ("tests/assistant/care/test_clock_jumps.py", ""),
    "a recogniser killed, hung or crowded": ("tests/assistant/ears/test_pool.py", ""),
    "the book changed while someone speaks": ("tests/assistant/ears/test_hearing.py", ""),
    "a broken book file while running": ("tests/assistant/test_services.py", "broken or not_toml or never_good"),
}
SLOW_S = 10.0  # an answer that takes longer counts as a hang
HANG_S = 1_800  # the same for the tests of one fault
HUNG = "hung"

Told = str  # what became of an input: a status, or how it was refused


def faults() -> tuple[list[str], bool]:
    """A row for each fault made, and whether all were survived."""
    rows, well = ["| fault | made | survived | s |", "| --- | --- | --- | --- |"], True
    for name, (file, only) in FAULTS.items():
        began = time.perf_counter()
        made, survived = _tested(file, only)
        rows.append(f"| {name} | {made} | {survived} | {time.perf_counter() - began:.0f} |")
        well = well and made == survived > 0
    return rows, well


def _tested(file: str, only: str) -> tuple[int, int]:
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", file, *(("-k", only) if only else ())]
    try:
        ended = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=HANG_S, check=False)
    except subprocess.TimeoutExpired:
        return 1, 0
    counts = {word: int(number) for number, word in re.findall(r"(\d+) (passed|failed|error)", ended.stdout)}
    return sum(counts.values()), counts.get("passed", 0)


# Inputs


def damaged(whole: bytes, chance: random.Random) -> bytes:
    """Some bytes changed, lost or put in, and perhaps the end cut off."""
    data = bytearray(whole)
    for _ in range(chance.choice((0, 1, 1, 3, 20))):
        at = chance.randrange(len(data) + 1)
        match chance.randrange(4):
            case 0:
                data[at : at + 1] = bytes([chance.randrange(256)])
            case 1:
                del data[at : at + chance.randrange(12)]
            case 2:
                data[at:at] = chance.randbytes(chance.randrange(12))
            case _:
                data[at : at + 4] = chance.choice((b"\xff\xff\xff\xff", bytes(4), b"\xff\xff\xff\x7f"))
    return bytes(data[: chance.randrange(len(data) + 1)] if data and chance.random() < 0.1 else data)


def any_text(words: list[str], chance: random.Random) -> str:
    """Words of the bar and letters of every script, controls and marks among them."""
    letters = [
        chr(chance.choice((chance.randrange(1, 128), chance.randrange(0xD800), chance.randrange(0x110000))))
        for _ in range(4)
    ]
    parts = [
        *chance.choices(words, k=chance.randrange(1, 9)),
        "".join(letters) * (chance.random() < 0.5),
        "1e999",
        "-1",
        "½",
    ]
    chance.shuffle(parts)
    return " ".join(parts)[:310]


def wav(chance: random.Random) -> bytes:
    """A short recording of any width, rate and number of channels."""
    file = io.BytesIO()
    samples = np.random.default_rng(chance.randrange(99)).standard_normal(
        (chance.randrange(1, 4_000), chance.randrange(1, 5))
    )
    width = chance.choice(sorted(soundfile.available_subtypes("WAV")))
    try:
        soundfile.write(file, samples / 4, chance.choice((8_000, 16_000, 44_100, 96_000)), format="WAV", subtype=width)
    except soundfile.LibsndfileError:  # no such width with so many channels
        return b"RIFF"
    return file.getvalue()


def posted(client: FlaskClient, path: str, data: bytes, kind: str) -> Told:
    """The status; and whether the answer owns to a failure inside."""
    answer = client.post(path, data=data, content_type=kind)
    return "500 inside" if "went wrong" in answer.get_data(as_text=True) else str(answer.status_code)


def looked_at(look: Callable[[], object]) -> Told:
    """Whether a list, a book or a grammar was taken or refused."""
    try:
        look()
    except (ListRefused, GrammarError):
        return "refused"
    return "taken"


def doors(services: Services, ear: FlaskClient, chance: random.Random) -> dict[str, Callable[[], Told]]:
    """For each door, how to throw one more thing at it."""
    bar, book = create_app(services).test_client(), services.book
    words = sorted({word for said in services.tonight().examples.values() for each in said for word in each.split()})
    names = [*book.ingredients, *book.drinks]
    texts = texts_of(ROOT / "recipes" / "book")
    grammars = [
        file.read_text("utf-8")[:3_000].encode() for file in sorted((ROOT / "grammar" / "phrases").glob("*.jsgf"))
    ]

    def table(heads: str) -> bytes:
        lines = [
            f"{chance.choice(names)},{chance.choice(('750 ml', '6 x 1 L', '0', 'x'))},{chance.random() * 60:.2f}"
            for _ in range(6)
        ]
        return damaged(
            "\n".join((heads, *lines)).encode(chance.choice(("utf-8", "utf-16", "cp1252")), "replace"), chance
        )

    def recipe() -> bytes:
        lines = [f"{chance.choice(('2 oz', '1/0 oz', '-1 ml', '1e999 g'))} {chance.choice(names)}" for _ in range(3)]
        return damaged(
            json.dumps({"@type": "Recipe", "name": chance.choice(words), "recipeIngredient": lines}).encode(), chance
        )

    def page() -> Told:
        name = chance.choice(sorted(texts))
        book, _ = book_of({**texts, name: damaged(texts[name].encode(), chance).decode("utf-8", "replace")})
        return "taken" if book else "refused"

    def grammar() -> object:
        return network.build(jsgf.parse(damaged(chance.choice(grammars), chance).decode("utf-8", "replace")))

    def question() -> bytes:
        return json.dumps({"text": any_text(words, chance), "conversation": f"c{chance.randrange(4)}"}).encode()

    return {
        "text typed": lambda: posted(bar, "/api/ask", question(), "application/json"),
        "JSON": lambda: posted(bar, "/api/ask", damaged(question(), chance), "application/json"),
        "sound": lambda: posted(ear, "/api/hear", damaged(wav(chance), chance), "audio/wav"),
        "price lists": lambda: looked_at(
            lambda: price_list.previewed(preview(table("item,pack,price"), book, {}), book)
        ),
        "sales lists": lambda: looked_at(lambda: sales_list.sales_shown(read_sales(table("drink,sold,sum"), book))),
        "recipes": lambda: looked_at(lambda: recipe_list.recipes_shown(read_recipes(recipe(), book))),
        "book files": page,
        "grammars": lambda: looked_at(grammar),
    }


def inputs(each: int) -> tuple[list[str], bool]:
    """A row for each door, and whether nothing failed or hung."""
    chance, well = random.Random(6), True
    rows = [
        "| inputs | tried | what became of them | slowest s | most MB for one | s |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    with tempfile.TemporaryDirectory() as folder, closing(Services(None, f"sqlite:///{folder}/shift.db")) as services:
        for name, throw in doors(services, create_app(FakeServices()).test_client(), chance).items():
            began, told, slowest, most = time.perf_counter(), Counter[Told](), 0.0, 0
            for number in range(each):
                weigh = number % 20 == 0  # weighing slows everything down, so those are not timed
                if weigh:
                    tracemalloc.start()
                at = time.perf_counter()
                became = throw()
                took = time.perf_counter() - at
                if weigh:
                    most = max(most, tracemalloc.get_traced_memory()[1])
                    tracemalloc.stop()
                else:
                    slowest = max(slowest, took)
                told[HUNG if took > SLOW_S and not weigh else became] += 1
            became = ", ".join(f"{number} {what}" for what, number in sorted(told.items()))
            rows.append(
                f"| {name} | {each} | {became} | {slowest:.2f} | {most / 1e6:.1f} | {time.perf_counter() - began:.0f} |"
            )
            well = well and not any(what.startswith("5") or what == HUNG for what in told)
    return rows, well


def main() -> None:
    """Print the tables; exit 1 when something was lost, failed or hung."""
    options = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    options.add_argument("--seconds", type=float, default=180, help="how long the night of the load is")
    options.add_argument("--rate", type=float, default=1, help="how many times faster everyone asks")
    options.add_argument("--inputs", type=int, default=2_000, help="how many at each door")
    given = options.parse_args()
    loaded, asked = load.measured(given.seconds, given.rate)
    print("\n".join(loaded), flush=True)
    tried, took_all = inputs(given.inputs)
    print("\n".join(("", *tried)), flush=True)
    made, survived = faults()
    print("\n".join(("", *made)), flush=True)
    unanswered = sum(each.status not in load.FINE for each in asked)
    print(f"\nUnanswered or 5xx under load: {unanswered}.")
    print(f"Inputs that failed or hung: {'none' if took_all else 'see above'}.")
    print(f"Faults that lost something: {'none' if survived else 'see above'}.")
    raise SystemExit(0 if survived and took_all and not unanswered else 1)


if __name__ == "__main__":
    main()
