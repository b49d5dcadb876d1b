"""A text is cut into names, numbers and words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import phrasebook
from grammar.clean import phrase
from grammar.exact import Mark
from grammar.pieces import Cutter, Text
from grammar.sounds import Voice
from tests.grammar.book_names import NAMES

CUTTER = Cutter(phrasebook.load(NAMES), Voice())


def cut(text: str) -> Text:
    """The text in pieces."""
    return CUTTER.cut(phrase(text))


def shown(text: str) -> list[tuple[str, str]]:
    """Each piece's words, and one thing it may be."""
    found = cut(text)
    return [
        (" ".join(found.words[p.start : p.end]), min(p.labels, key=lambda label: "." not in label, default=""))
        for p in found.pieces
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("gin fizz", [("gin fizz", "names.drink")]),
        ("rum swizzle", [("rum swizzle", "names.drink")]),
        ("gin and tonic", [("gin and tonic", "names.drink")]),
        ("the orgeat", [("the", "the"), ("orgeat", "names.ingredient")]),
        ("twenty two percent", [("twenty two percent", "values.percent")]),
        ("an ounce and a half gin", [("an ounce and a half", "values.measure"), ("gin", "names.ingredient")]),
        ("the weekend", [("the weekend", "values.day")]),
        ("gimlit spec", [("gimlit", "names.drink"), ("spec", "spec")]),
        ("monkey glend", [("monkey glend", "names.drink")]),
        ("elderflower", [("elderflower", "")]),
        ("dirty martini", [("dirty", ""), ("martini", "names.drink")]),
        ("the bellrope", [("the", "the"), ("bellrope", "names.drink")]),
    ],
)
def test_a_text_is_cut_into_few_and_long_pieces(text: str, expected: list[tuple[str, str]]) -> None:
    """Names and numbers whole, slips as what they stand for, strangers by themselves."""
    assert shown(text) == expected


def test_a_word_may_be_several_things() -> None:
    """'one' is a small word and a number; 'vermouth' is the end of two names."""
    (one,) = cut("one").pieces
    assert {"one", "numbers.count"} <= set(one.labels)
    (vermouth,) = cut("vermouth").pieces
    assert {fill.value for fill in vermouth.labels["names.ingredient"]} == {"sweet vermouth", "dry vermouth"}


def test_a_stranger_is_known_as_one() -> None:
    """A parse of the whole text is out of the question then."""
    assert cut("gimlet weather").has_strangers
    assert not cut("gimlit spec").has_strangers


@pytest.mark.parametrize(("text", "how"), [("gimlet", "fuzzy"), ("garnsih", "fuzzy"), ("tied rack", "sound")])
def test_it_tells_how_it_was_made_out(text: str, how: str) -> None:
    """By spelling or by sound, whichever comes first."""
    assert cut(text).how == how


def test_believing_a_slip_has_its_cost() -> None:
    """As written costs nothing; the name that fills the slot counts, not its rivals."""
    assert cut("gimlet").cost([]) == 0
    text = cut("gimlit")
    assert text.cost([Mark("drink", "Gimlet", 0, 1)]) > 0


@settings(deadline=None)
@given(
    st.lists(
        st.sampled_from(["gin", "fizz", "one", "the", "quarter", "of", "an", "ounce", "zzz", "gimlit"]), max_size=9
    )
)
def test_the_pieces_are_the_text(words: list[str]) -> None:
    """From the first word to the last, none left out, none twice."""
    pieces = CUTTER.cut(words).pieces
    assert [piece.start for piece in pieces] == [0, *(piece.end for piece in pieces)][: len(pieces)]
    assert sum(piece.end - piece.start for piece in pieces) == len(words)
