"""Drafts become deterministic and minimal automata that say the same sentences."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.automaton import Automaton, Draft

LETTERS = "ab"
LONGEST = 4
Sentence = tuple[str, ...]


def said(automaton: Automaton) -> set[Sentence]:
    """Every sentence of up to four letters."""
    found = set()
    for length in range(LONGEST + 1):
        for letters in product(LETTERS, repeat=length):
            state: int | None = automaton.start
            for letter in letters:
                state = None if state is None else automaton.arcs[state].get(letter)
            if state in automaton.finals:
                found.add(letters)
    return found


def drafted(sentences: list[Sentence], loop: bool = False) -> Automaton:
    """An automaton of these sentences, not yet minimal; with `loop`, any of them may follow another."""
    draft = Draft()
    start, end = draft.state(), draft.state()
    for sentence in sentences:
        here = draft.state()
        draft.silent(start, here)
        for letter in sentence:
            there = draft.state()
            draft.arc(here, letter, there)
            here = there
        draft.silent(here, end)
        if loop:
            draft.silent(here, start)
    return draft.automaton(start, end)


sentences = st.lists(st.lists(st.sampled_from(LETTERS), min_size=1, max_size=3).map(tuple), min_size=1, max_size=5)


@settings(deadline=None)
@given(sentences)
def test_a_draft_says_what_was_put_in(listed: list[Sentence]) -> None:
    """The subset construction neither loses nor adds a sentence."""
    assert said(drafted(listed)) == set(listed)


@settings(deadline=None)
@given(sentences, st.booleans())
def test_the_smallest_says_the_same(listed: list[Sentence], loop: bool) -> None:
    """Minimising changes no sentence, and leaves no two states alike."""
    whole = drafted(listed, loop)
    smallest = whole.minimal()
    assert said(smallest) == said(whole)
    assert len(smallest.arcs) <= len(whole.arcs)
    assert len(smallest.minimal().arcs) == len(smallest.arcs)


def test_names_share_their_ends() -> None:
    """'gin fizz' and 'silver fizz' need one 'fizz'."""
    smallest = drafted([("gin", "fizz"), ("silver", "fizz"), ("gin", "sour")]).minimal()
    assert sum(len(arcs) for arcs in smallest.arcs) == 5


def test_dead_ends_are_left_out() -> None:
    """A state from which no sentence ends is no state of the smallest."""
    draft = Draft()
    start, end, lost = draft.state(), draft.state(), draft.state()
    draft.arc(start, "a", end)
    draft.arc(start, "b", lost)
    draft.arc(lost, "b", lost)
    assert len(draft.automaton(start, end).minimal().arcs) == 2


def test_an_automaton_may_say_nothing_at_all() -> None:
    """Without a final state there is no sentence."""
    draft = Draft()
    start, end = draft.state(), draft.state()
    draft.arc(start, "a", start)
    assert not draft.automaton(start, end).minimal().finals
