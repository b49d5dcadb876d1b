"""Words joined to compounds say what they said before."""

from __future__ import annotations

import itertools
from collections import defaultdict
from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.ears.compounds import MOST_WORDS, compounded
from assistant.names import names_of
from grammar import jsgf, network
from grammar.network import Arc, Network
from grammar.phrasebook import load
from recipes.loader import load_book

ORDERS = """#JSGF V1.0;
grammar orders;
public <order> = (make | pour) me [a | an] <drink> [now] | how much <drink> is left | (more)+ <drink>;
<drink> = gin and tonic | gin fizz | rum punch | flip;
"""


def sentences(net: Network, longest: int) -> frozenset[str]:
    """Everything that can be said in so many words."""
    on = defaultdict(list)
    for arc in net.arcs:
        on[arc.source].append(arc)

    def said(state: int, words: tuple[str, ...]) -> Iterator[str]:
        if state == net.final:
            yield " ".join(words)
        for arc in on[state]:
            more = (*words, *arc.word.split())
            if len(more) <= longest:
                yield from said(arc.target, more)

    return frozenset(said(net.start, ()))


@pytest.mark.parametrize("most_words", [1, 2, 3, 8])
def test_the_same_can_be_said(most_words: int) -> None:
    """However long compounds may be, no sentence is lost and none is new."""
    net = network.build(jsgf.parse(ORDERS, "orders.jsgf"))
    assert sentences(compounded(net, most_words), 9) == sentences(net, 9)


words = st.sampled_from(["", "gin", "rum", "and", "lime"])


@given(st.lists(st.tuples(st.integers(0, 6), st.integers(1, 7), words), max_size=16))
@settings(max_examples=200, deadline=None)
def test_the_same_can_be_said_in_any_network(ways: list[tuple[int, int, str]]) -> None:
    """Whatever leads where, as long as no way leads back."""
    arcs = tuple(Arc(source, target, word) for source, target, word in dict.fromkeys(ways) if source < target)
    net = Network(0, 7, arcs, 8)
    assert sentences(compounded(net), 9) == sentences(net, 9)


def test_the_house_grammar_keeps_few_states_and_short_compounds() -> None:
    """What can be said to the house takes few of the states, and nobody must say four words in one breath."""
    net = load(names_of(load_book())).network()
    few = compounded(net)
    assert few.size * 5 < net.size
    assert len(few.arcs) < len(net.arcs)
    assert max(len(arc.word.split()) for arc in few.arcs) == MOST_WORDS
    assert frozenset(itertools.chain.from_iterable(word.split() for word in few.words)) == net.words
