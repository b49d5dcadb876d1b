"""A network as phrases, for a recogniser that learns which word follows which."""

from __future__ import annotations

import pytest

from assistant.ears.phrase_list import phrase_list
from assistant.names import names_of
from grammar import jsgf, network
from grammar.network import Network
from grammar.phrasebook import Phrasebook
from recipes.loader import load_book


def made(body: str) -> Network:
    """The network of one rule."""
    return network.build(jsgf.parse(f"#JSGF V1.0;\ngrammar g;\npublic <s> = {body};"))


@pytest.mark.parametrize(
    ("body", "phrases"),
    [
        ("one gin", {"one gin"}),
        ("(one | two) (gin | rum)", {"one gin", "two gin", "one rum"}),
        ("gin [please]", {"gin", "gin please"}),
        ("gin (and rum)*", {"gin", "gin and rum"}),
    ],
)
def test_each_word_is_said_wherever_the_grammar_has_it(body: str, phrases: set[str]) -> None:
    """Every choice of the grammar is taken at least once, in whole sentences."""
    assert set(phrase_list(made(body))) == phrases


def test_every_phrase_of_our_book_is_a_sentence_and_every_word_is_in_one() -> None:
    """All that can be said at the bar goes to the recogniser, and nothing else."""
    whole = Phrasebook(names_of(load_book())).network()
    phrases = phrase_list(whole)
    assert {word for phrase in phrases for word in phrase.split()} == whole.words
    assert all(whole.accepts(phrase.split()) for phrase in phrases[::50])
