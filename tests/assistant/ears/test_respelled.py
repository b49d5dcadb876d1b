"""Words that a vocabulary lacks, spelled in words that it has."""

from __future__ import annotations

from itertools import product

import pytest

from assistant.ears.pronunciation import Pronouncer
from assistant.ears.respelled import FARTHEST, PutBack, Speller, respelled
from grammar import jsgf, network
from grammar.clean import phrase
from grammar.sounds import distance

LACKING = frozenset(
    phrase("amontillado daiquiri falernum fogbell gimlet grenadine hawser maraschino mezcal negroni orgeat tidewrack")
)
KOREAN = frozenset({"오미자", "오미", "자", "막걸리", "막", "걸리"})


@pytest.fixture(scope="module")
def speller() -> Speller:
    """For a vocabulary with all words of the dictionary but some of a bar's."""
    return Speller(lambda word: word not in LACKING)


@pytest.mark.parametrize("word", sorted(LACKING))
def test_a_bars_words_are_spelled_by_their_sound(speller: Speller, word: str) -> None:
    """In words of the vocabulary that, run together, sound nearly the same; the nearest comes first."""
    pronouncer = Pronouncer()
    spellings = speller.spellings(word)
    assert spellings
    for spelling in spellings:
        assert not LACKING & set(spelling)
        ways = [sum(parts, ()) for parts in product(*(pronouncer.ways(part) for part in spelling))]
        offs = [distance(way, said) / len(way) for way in pronouncer.ways(word) for said in ways]
        assert min(offs) <= FARTHEST, spelling


def test_a_word_of_two_is_spelled_as_the_two(speller: Speller) -> None:
    """As whoever named the drink made it."""
    assert speller.spellings("fogbell")[0][0] == "fog"
    assert speller.spellings("tidewrack")[0][0] == "tide"


@pytest.mark.parametrize(
    ("word", "spelled"),
    [("오미자막걸리", (("오미자", "막걸리"),)), ("막자", (("막", "자"),)), ("칵테일", ()), ("gimlet", ())],
    ids=["two words", "two syllables", "unknown syllables", "another script"],
)
def test_without_english_the_letters_count(word: str, spelled: tuple[tuple[str, ...], ...]) -> None:
    """The fewest words that written together are the word; what cannot be spelled so is told."""
    assert Speller(KOREAN.__contains__).spellings(word) == spelled


def test_what_is_heard_is_put_back_where_the_grammar_has_it() -> None:
    """The same words may stand for themselves elsewhere."""
    bar = network.build(
        jsgf.parse("#JSGF V1.0;\ngrammar g;\npublic <s> = make a (fogbell | negroni) | ring the fog bell;")
    )
    spellings = {"fogbell": (("fog", "bell"), ("fog", "bel")), "negroni": (("neg", "roni"),)}
    listened_for = respelled(bar, spellings)
    assert {"fogbell", "negroni"}.isdisjoint(listened_for.words)
    put_back = PutBack(spellings)
    for heard, meant in (
        ("make a fog bell", "make a fogbell"),
        ("make a fog bel", "make a fogbell"),
        ("make a neg roni", "make a negroni"),
        ("ring the fog bell", "ring the fog bell"),
    ):
        assert listened_for.accepts(phrase(heard))
        assert " ".join(put_back.words(phrase(heard), bar.accepts)) == meant
    assert put_back.words(("neg", "roni", "neg"), bar.accepts) == ("negroni", "neg")
