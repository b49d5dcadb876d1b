"""How a word that no dictionary has is said by its letters."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.letters import as_elsewhere, from_letters
from grammar.sounds import PHONES, VOWELS, likeness

# How bars say them (our own ears); a second phone string is as good.
LETTERS = [
    ("mojito", "M OW HH IY T OW"),
    ("negroni", "N EH G R OW N IY"),
    ("pisco", "P IY S K OW"),
    ("amaro", "AA M AA R OW"),
    ("amaretto", "AA M AA R EH T OW"),
    ("limoncello", "L IY M OW N CH EH L OW"),
    ("tequila", "T EH K W IY L AH"),
    ("violette", "V IY OW L EH T"),
    ("noisette", "N W AA Z EH T"),
    ("menthe", "M AA N T"),
    ("cacao", "K AA K AW"),
    ("orgeat", "AO R ZH AA T"),
    ("falernum", "F AE L ER N AH M"),
    ("bijou", "B IH JH UW"),
    ("swizzle", "S W IH Z AH L"),
    ("rickey", "R IH K IY"),
    ("toddy", "T AA D IY"),
    ("spritz", "S P R IH T Z"),
    ("hawser", "HH AO S ER"),
    ("crusta", "K R UW S T AH"),
]


@pytest.mark.parametrize(("word", "phones"), LETTERS)
def test_words_of_the_trade_are_said_by_their_letters(word: str, phones: str) -> None:
    """Italian, French and Spanish looking words come out as an English-speaking bar says them, or very near."""
    assert likeness(from_letters(word), phones.split()) >= 0.85, from_letters(word)


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("tagliatelle", "T AA L Y AA T EH L EY"),
        ("chioggia", "K Y OW JH AH"),
        ("zabaglione", "Z AA B AA L Y OW N EY"),
        ("peche", "P EH SH"),
        ("framboise", "F R AA M B W AA Z"),
        ("bouillabaisse", "B UW Y AA B EH S"),
        ("choucroute", "SH UW K R UW T"),
        ("abricot", "AA B R IY K OW"),
        ("coing", "K W AE N"),
        ("houblon", "UW B L OW N"),
        ("cebolla", "S EH B OW Y AH"),
        ("jengibre", "HH EH N HH IY B R EY"),
        ("pulque", "P UW L K EY"),
        ("hierbabuena", "Y EH R B AA B W EH N AH"),
        ("caipirinha", "K AY P IY R IY N Y AH"),
        ("pinhao", "P IY N Y AW"),
        ("feijoada", "F EY ZH OW AA D AH"),
    ],
)
def test_a_name_is_said_as_its_own_language_has_it(word: str, phones: str) -> None:
    """Whoever knows how it is said there is heard as well: gli is L Y, qu K, j HH or ZH, an end is silent."""
    assert tuple(phones.split()) in as_elsewhere(word)


@pytest.mark.parametrize("word", ["tidewrack", "hawser", "fogwhistle", "highball", "blackthorn", "rickshaw"])
def test_a_word_that_no_other_language_could_spell_is_english(word: str) -> None:
    """A made-up English name is not listened for in a French mouth."""
    assert as_elsewhere(word) == ()


@pytest.mark.parametrize(("word", "phones"), [("mojito", "M OW JH IY T OW"), ("nuez", "N UW EH T S")])
def test_italian_is_not_tried_where_its_spelling_is_not(word: str, phones: str) -> None:
    """It has no j, and its words end in a vowel."""
    assert tuple(phones.split()) not in as_elsewhere(word)


@settings(deadline=None)
@given(st.text(max_size=30))
def test_any_letters_give_phones(word: str) -> None:
    """No word breaks the rules of any language; letters that no rule has are silent."""
    ways = (from_letters(word.casefold()), *as_elsewhere(word.casefold()))
    assert {phone for way in ways for phone in way} <= PHONES


@pytest.mark.parametrize("letter", "bcdfgjlmnpqrstvxyz")
def test_no_language_loses_a_letter_between_vowels(letter: str) -> None:
    """All but h are heard there, whatever the language."""
    ways = [*as_elsewhere(f"e{letter}ere"), *as_elsewhere(f"e{letter}er")]
    assert ways
    assert all(not set(way[1:2]) <= VOWELS for way in ways), ways
