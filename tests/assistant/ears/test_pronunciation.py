"""How words are said: by the dictionary, and else by their letters."""

from __future__ import annotations

import pytest

from assistant.ears.pronunciation import ALSO_SAID, DICTIONARY, MOST_WAYS, Pronouncer, english, usual_ways
from recipes.loader import load_book


@pytest.fixture(scope="module")
def pronouncer() -> Pronouncer:
    """With the dictionary in the recogniser's wheel."""
    return Pronouncer()


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("gin", "JH IH N"),
        ("Gin", "JH IH N"),
        ("CRÈME", "K R IY M"),
        ("it\u2019s", "IH T S"),
        ("vegan", "V EH G AH N"),
        ("vegan", "V IY G AH N"),
    ],
)
def test_known_words_are_said_as_the_dictionary_or_a_bar_says(pronouncer: Pronouncer, word: str, phones: str) -> None:
    """Capitals, accents and curly apostrophes are no other word; most people say otherwise of vegans."""
    assert phones in [" ".join(way) for way in pronouncer.ways(word)]


def test_a_word_may_be_said_in_several_ways(pronouncer: Pronouncer) -> None:
    """The dictionary's other ways are kept: the recogniser listens for each."""
    assert len(pronouncer.ways("either")) > 1


def test_the_usual_way_is_the_first_of_all() -> None:
    """The dictionary is read twice, once in haste: no word may come out otherwise."""
    assert usual_ways() == {word: " ".join(ways[0]) for word, ways in english().items()}


@pytest.mark.parametrize("word", ["falernum", "orgeat", "cachaca", "tidewrack", "two-step-ish", "whisky's"])
def test_unknown_words_are_said_by_their_letters(pronouncer: Pronouncer, word: str) -> None:
    """A name that no dictionary has can still be listened for."""
    assert pronouncer.ways(word)
    assert not pronouncer.is_known(word)


@pytest.mark.parametrize(
    ("word", "here", "there"),
    [
        ("framboise", "F R AE M B OY Z IY", "F R AA M B W AA Z"),
        ("caipirinha", "K AA IY P IY R IY N HH AH", "K AY P IY R IY N Y AH"),
        ("nuez", "N AH EH Z", "N W EH S"),
        ("caipirinhas", "K AA IY P IY R IY N HH AH Z", "K AY P IY R IY N Y AH Z"),
    ],
)
def test_a_borrowed_name_is_heard_as_english_reads_it_and_as_its_own_people_say_it(
    pronouncer: Pronouncer, word: str, here: str, there: str
) -> None:
    """Staff say it one way, the guest from there another; what English makes of it counts as usual."""
    first, *others = (" ".join(way) for way in pronouncer.ways(word))
    assert first == here
    assert there in others


@pytest.mark.parametrize("word", ["tidewrack", "falernum", "peche", "verjuice", "agave", "ays"])
def test_a_name_is_not_listened_for_in_too_many_ways(pronouncer: Pronouncer, word: str) -> None:
    """Each way costs the recogniser time: there are a few, and none twice."""
    ways = pronouncer.ways(word)
    assert len(ways) == len(set(ways)) <= MOST_WAYS


@pytest.mark.parametrize("word", ["gin", "either", "absinthe", "manzanilla", "tequila"])
def test_a_word_of_the_dictionary_is_said_as_there_alone(pronouncer: Pronouncer, word: str) -> None:
    """No letters are guessed at where somebody has written down how it is said."""
    assert pronouncer.ways(word) == english()[word]


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("litres", "L IY T ER Z"),
        ("flavour", "F L EY V ER"),
        ("theatre", "TH IY AH T ER"),
        ("savouries", "S EY V ER IY Z"),
        ("sulphites", "S AH L F AY T S"),
    ],
)
def test_british_spelling_is_no_other_word(pronouncer: Pronouncer, word: str, phones: str) -> None:
    """The dictionary is American; a litre is a liter to it."""
    assert [" ".join(way) for way in pronouncer.ways(word)] == [phones]


@pytest.mark.parametrize(
    ("one", "more", "ending"),
    [
        ("gimlet", "gimlets", ["S"]),
        ("negroni", "negronis", ["Z"]),
        ("fizz", "fizzes", ["IH", "Z"]),
        ("toddy", "toddies", ["Z"]),
        ("tidewrack", "tidewracks", ["S"]),
        ("boulevardier", "boulevardiers", ["Z"]),
    ],
)
def test_more_than_one_is_said_like_one(pronouncer: Pronouncer, one: str, more: str, ending: list[str]) -> None:
    """A plural that no dictionary has is its singular and the ending that English gives it."""
    assert pronouncer.ways(more) == tuple((*way, *ending) for way in pronouncer.ways(one))


@pytest.mark.parametrize("word", ["7", "водка", "맥주", "-"])
def test_what_has_no_letters_cannot_be_said(pronouncer: Pronouncer, word: str) -> None:
    """Digits and other scripts have no sound here, and that is told, not guessed."""
    assert pronouncer.ways(word) == ()
    assert pronouncer.unsayable([word, "gin"]) == (word,)


def test_what_is_also_said_is_no_name_and_nothing_the_dictionary_has() -> None:
    """A name's sound belongs into the book; a line that says what is there already is dead."""
    lines = [line for line in ALSO_SAID.read_text().splitlines() if not line.startswith("#")]
    assert lines
    assert not set(lines) & set(DICTIONARY.read_text().splitlines())
    words = {line.partition(" ")[0].partition("(")[0] for line in lines}
    book = load_book()
    assert not words & {word for name in (*book.drinks, *book.ingredients) for word in name.lower().split()}
