"""Text is cleaned into the words of the phrases, and every word knows where it stood."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.clean import MAX_CHARACTERS, MAX_WORDS, phrase, words

CLEANED = [
    ("What's in a Gimlet?", "what's in a gimlet"),
    ("WHATS IN A GIMLET", "what's in a gimlet"),
    ("what\u2019s in it", "what's in it"),
    ("dont", "don't"),
    ("im out", "i'm out"),
    ("were out", "were out"),
    ("well", "well"),
    ("Bee's Knees", "bees knees"),
    ("bees' knees", "bees knees"),
    ("orgeat's back", "orgeat is back"),
    ("Vieux Carré", "vieux carre"),
    ("crème de violette", "creme de violette"),
    ("gin & tonic", "gin and tonic"),
    ("gimlet, please!", "gimlet please"),
    ("gin-fizz", "gin fizz"),
    ("French 75", "french seventy five"),
    ("86 the mint", "eighty six the mint"),
    ("86'd", "eighty six"),
    ("2oz", "two ounces"),
    ("2 oz", "two ounces"),
    ("22.5ml", "twenty two point five mils"),
    ("3/4 oz", "three quarters ounces"),
    ("1 1/2", "one and a half"),
    ("1-1/2", "one and a half"),
    ("1½", "one and a half"),
    ("¾", "three quarters"),
    ("3/7", "3/7"),
    ("$3.50", "three dollars fifty"),
    ("$32", "thirty two dollars"),
    ("$0.60", "sixty cents"),
    ("60c", "sixty cents"),
    ("60¢", "sixty cents"),
    ("€4", "four euros"),
    ("20%", "twenty percent"),
    ("1,000", "one thousand"),
    ("5000000", "5000000"),
    ("2l", "two litres"),
    ("liters", "litres"),
    ("whisky", "whiskey"),
    ("abv", "a b v"),
    ("x4", "times four"),
    ("gimme 2x gin", "give me two x gin"),
    ("gimlet vs daiquiri", "gimlet versus daiquiri"),
    ("日本語", "日本語"),
    ("🍸", ""),
    ("", ""),
    (" \t\n", ""),
    ("...!?", ""),
]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("gin's gone", "gin is gone"),
        ("the orgeat's back in", "the orgeat is back in"),
        ("what's out", "what's out"),
        ("gannet's rest", "gannets rest"),
        ("the bee's knees is off", "the bees knees is off"),
    ],
)
def test_how_a_thing_is_may_be_said_in_short(text: str, expected: str) -> None:
    """'Gin's gone' tells of gin; what belongs to somebody stays as it is."""
    assert " ".join(phrase(text)) == expected


@pytest.mark.parametrize(("text", "expected"), CLEANED)
def test_a_text_is_cleaned(text: str, expected: str) -> None:
    """Case, accents and punctuation go; numbers, money and units are put in words."""
    assert " ".join(phrase(text)) == expected


@pytest.mark.parametrize(
    ("text", "word", "stretch"),
    [
        ("What's in a Gimlet?", "gimlet", "Gimlet"),
        ("  vieux   CARRÉ ", "carre", "CARRÉ"),
        ("make it 22.5 ml", "point", "22.5"),
        ("limes are $3.50 now", "dollars", "$3.50"),
        ("1½ oz gin", "half", "1½"),
    ],
)
def test_a_word_knows_where_it_stood(text: str, word: str, stretch: str) -> None:
    """A slot can show the very letters that it was taken from."""
    said = next(one for one in words(text) if one.word == word)
    assert text[said.start : said.end] == stretch


@settings(deadline=None)
@given(st.text(max_size=200))
def test_any_text_gives_words_in_order(text: str) -> None:
    """Whatever is typed: words of the text, from left to right, without blanks or capitals."""
    found = words(text)
    assert all(said.word and said.word == said.word.casefold() and " " not in said.word for said in found)
    assert all(0 <= said.start < said.end <= len(text) for said in found)
    assert [said.start for said in found] == sorted(said.start for said in found)


def test_nobody_says_so_much_in_one_breath() -> None:
    """A text longer than anything said has no words."""
    assert words("gin " * MAX_WORDS)
    assert not words("gin " * (MAX_WORDS + 1))
    assert not words("g" * (MAX_CHARACTERS + 1))
