"""families.toml: what is read from it, and what is found wrong in it."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from recipes.loader import find_faults, load_book
from recipes.model import Ice, Method
from tests.recipes.written_book import write_book

FAMILIES = """\
[[family]]
id = "sour"
title = "sour"
say = ["sours"]
reason = "spirit, citrus and sugar"
has = ["base", "acid"]
lacks = ["lime wheel"]
method = ["shaken"]
ice = ["none", "cubed"]
share = { base = [0.4, 0.8] }
parts = [2, 3]
spread = 3
slots = ["base", "acid", "sweetener"]

[[family]]
id = "daisy"
title = "daisy"
branch_of = "sour"
reason = "a base, a liqueur and citrus"
has = ["base", "lime juice or sugar"]
slots = ["base"]
"""
LABELLED = ("classics.toml", 'source = "memory"', 'source = "memory"\nfamily = "sour"')


def write(folder: Path, old: str = "", new: str = "", *changes: tuple[str, str, str]) -> Path:
    """The small book with these families, one text of them replaced."""
    assert old in FAMILIES
    (write_book(folder, *changes) / "families.toml").write_text(FAMILIES.replace(old, new, 1), encoding="utf-8")
    return folder


def test_a_rule_is_read_whole_and_in_its_order(tmp_path: Path) -> None:
    """Every key of an entry ends up in the rule, numbers as Decimals."""
    families = load_book(write(tmp_path)).families
    assert list(families) == ["sour", "daisy"]
    sour = families["sour"]
    assert (sour.title, sour.spoken, sour.branch_of, sour.slots) == (
        "sour",
        ("sours",),
        None,
        ("base", "acid", "sweetener"),
    )
    assert (sour.when.has, sour.when.lacks) == (("base", "acid"), ("lime wheel",))
    assert sour.when.methods == {Method.SHAKEN}
    assert sour.when.ice == {Ice.NONE, Ice.CUBED}
    assert dict(sour.when.share) == {"base": (Decimal("0.4"), Decimal("0.8"))}
    assert (sour.when.parts, sour.when.spread) == ((2, 3), Decimal(3))
    assert families["daisy"].branch_of == "sour"


def test_a_book_without_families_is_a_book(tmp_path: Path) -> None:
    """The page may be missing; then what drinks say of their family is left alone."""
    assert load_book(write_book(tmp_path, LABELLED)).families == {}


@pytest.mark.parametrize(
    ("old", "new", "entry", "field", "problem", "mend"),
    [
        ('has = ["base", "acid"]', 'has = ["bse"]', "sour", "has", 'no ingredient answers to "bse"', 'write "base"'),
        (
            "lime juice or sugar",
            "lime juice or sgar",
            "daisy",
            "has",
            'no ingredient answers to "sgar"',
            'write "sugar"',
        ),
        ('slots = ["base"]', 'slots = ["gni"]', "daisy", "slots", 'no ingredient answers to "gni"', 'write "gin"'),
        ("share = { base", "share = { zzzz", "sour", "share", 'no ingredient answers to "zzzz"', "write a role"),
        (
            'branch_of = "sour"',
            'branch_of = "suor"',
            "daisy",
            "branch_of",
            'no family is called "suor"',
            'write "sour"',
        ),
        ('id = "daisy"', 'id = "sours"', "sours", "name", '"sours" already names the family "sour"', "give each name"),
        ("spread = 3", "spread = 0.5", "sour", "spread", "0.5 is below 1", "write a number from 1 up"),
        ("[0.4, 0.8]", "[0.4]", "sour", "share.base", "does not fit", "write the smallest"),
        ("parts =", "part =", "sour", "part", 'there is no key "part"', 'write "parts"'),
        ('reason = "spirit', 'raison = "spirit', "sour", "raison", 'there is no key "raison"', 'write "reason"'),
    ],
    ids=lambda text: text.split('"')[0][:24],
)
def test_a_fault_is_found_and_how_to_mend_it(
    tmp_path: Path, old: str, new: str, entry: str, field: str, problem: str, mend: str
) -> None:
    """A slip in a rule is reported by entry and key, with what to write instead."""
    faults = [f for f in find_faults(write(tmp_path, old, new)) if f.file == "families.toml"]
    assert [(f.entry, f.field) for f in faults] == [(entry, field)]
    assert problem in faults[0].problem
    assert mend in faults[0].mend


def test_a_drink_of_an_unknown_family_is_a_fault(tmp_path: Path) -> None:
    """The label must be one of the families, once there are any."""
    label = ("classics.toml", 'source = "memory"', 'source = "memory"\nfamily = "suor"')
    faults = [f for f in find_faults(write(tmp_path, "", "", label)) if f.field == "family"]
    assert [(f.entry, f.problem, f.mend) for f in faults] == [
        ("Gin Sour", 'no family is called "suor"', 'write "sour"'),
    ]


def test_the_shipped_families_have_no_fault() -> None:
    """What we ship is clean."""
    assert [fault for fault in find_faults() if fault.file == "families.toml"] == []
