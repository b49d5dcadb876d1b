"""A grammar becomes a network that says exactly its sentences, and names are laid once for each place they lead to."""

from __future__ import annotations

import random
from itertools import product

import pytest

from grammar import jsgf, network, phrasebook
from grammar.errors import JsgfError
from grammar.names import Name, Names
from grammar.network import SILENT, Network
from grammar.rules import Grammar
from tests.grammar.book_names import NAMES

HEAD = "#JSGF V1.0;\ngrammar bar;\n"


def built(rules: str) -> Network:
    """The network of some rules."""
    return network.build(jsgf.parse(HEAD + rules))


def sentences(net: Network, longest: int = 4) -> set[str]:
    """All sentences of up to so many words."""
    words = sorted(net.words)
    tried = (said for length in range(longest + 1) for said in product(words, repeat=length))
    return {" ".join(said) for said in tried if net.accepts(said)}


SAID = [
    ("public <x> = stir;", {"stir"}),
    ("public <x> = stir it;", {"stir it"}),
    ('public <x> = "Stir It";', {"stir it"}),
    ("public <x> = stir | shake;", {"stir", "shake"}),
    ('public <x> = stir " ";', {"stir"}),
    ("public <x> = stir [it];", {"stir", "stir it"}),
    ("public <x> = (a | b) (c | d);", {"a c", "a d", "b c", "b d"}),
    ("public <x> = a+;", {"a", "a a", "a a a", "a a a a"}),
    ("public <x> = a*;", {"", "a", "a a", "a a a", "a a a a"}),
    ("public <x> = <NULL> | a;", {"", "a"}),
    ("public <x> = <VOID> | a;", {"a"}),
    ("public <x> = a <y> {tag}; <y> = b {c} | d;", {"a b", "a d"}),
    ("public <x> = /1/ a | /0/ b;", {"a"}),
    ("public <x> = a [<x>];", {"a", "a a", "a a a", "a a a a"}),
    ("public <x> = a <y>; <y> = b | c <x>;", {"a b", "a c a b"}),
    ("public <x> = a; public <y> = b; <z> = c;", {"a", "b"}),
    ("public <x> = a b | a c | b c;", {"a b", "a c", "b c"}),
]


class TestSentences:
    """What a network says."""

    @pytest.mark.parametrize(("rules", "expected"), SAID, ids=[rules for rules, _ in SAID])
    def test_a_network_says_exactly_the_grammar(self, rules: str, expected: set[str]) -> None:
        """No sentence more, none less."""
        assert sentences(built(rules)) == expected

    def test_words_are_in_lower_case(self) -> None:
        """A recogniser's dictionary has no capitals."""
        assert built("public <x> = Stir IT;").words == {"stir", "it"}

    def test_names_are_opened_into_their_words(self) -> None:
        """A rule without a body says what it is given."""
        net = network.build(
            jsgf.parse(f"{HEAD}import <names.*>;public <x> = make a <names.drink> [now];"),
            {"names.drink": [("gimlet",), ("gin", "fizz")]},
        )
        assert sentences(net, 5) == {f"make a {drink}{now}" for drink in ("gimlet", "gin fizz") for now in ("", " now")}

    def test_a_rule_inside_itself_is_refused(self) -> None:
        """Brackets within brackets without end are no network."""
        with pytest.raises(JsgfError, match="contains itself in its middle"):
            built("public <x> = a <x> b | c;")

    def test_a_grammar_must_have_something_to_say(self) -> None:
        """Without a public rule, or with one that cannot be said, there is no network."""
        for rules in ("<x> = a;", "public <x> = <VOID>;"):
            with pytest.raises(JsgfError, match="no public rule that can be said"):
                built(rules)

    @pytest.mark.parametrize(
        "rules",
        [
            "public <r0> = <r1> <r1>;"
            + "".join(f"<r{n}> = <r{n + 1}> <r{n + 1}>;" for n in range(1, 40))
            + "<r40> = a;",
            "public <x> = (a | b)* a " + "(a | b) " * 40 + ";",
            "public <x> = " + "[a] " * 4_000 + ";",
        ],
        ids=["doubled forty times", "any of a million millions", "thousands that may be left out"],
    )
    def test_more_than_can_be_listened_for_is_refused(self, rules: str) -> None:
        """A few lines can say more than any machine holds; that is told in seconds, as a fault of the grammar."""
        with pytest.raises(JsgfError, match="more to say than can be listened for"):
            built(rules)

    def test_names_that_nobody_gave_are_a_fault(self) -> None:
        """A rule without a body and without names cannot be said."""
        grammar = jsgf.parse(f"{HEAD}import <names.*>;public <x> = a <names.drink>;")
        with pytest.raises(JsgfError, match="no names were given"):
            network.build(grammar)


class TestShape:
    """How a network is laid."""

    def test_silent_arcs_are_rare_and_words_are_never_doubled(self) -> None:
        """No state has two arcs of one word; a plain grammar is silent only where a sentence may end or go on."""
        net = built("public <x> = (a | b) [c] | a d | c+;")
        pairs = [(arc.source, arc.word) for arc in net.arcs if arc.word != SILENT]
        assert len(pairs) == len(set(pairs))
        assert all(arc.target == net.final for arc in net.arcs if arc.word == SILENT)

    def test_names_are_laid_once_for_each_place_they_lead_to(self) -> None:
        """Ten phrases that end in a drink need its names once, not ten times."""
        drinks = [(f"drink{n}",) for n in range(50)]
        phrases = " | ".join(f"phrase{n} <names.drink>" for n in range(10))
        net = network.build(jsgf.parse(f"{HEAD}import <names.*>;public <x> = {phrases};"), {"names.drink": drinks})
        assert sum(arc.word.startswith("drink") for arc in net.arcs) == 50

    def test_a_room_may_lead_into_a_room(self) -> None:
        """A measure holds a unit, and both are rooms."""
        grammar = jsgf.parse(f"{HEAD}public <x> = <m> of gin | <m>; <m> = (one | two) <u>; <u> = dash | drop;")
        assert sentences(network.build(grammar, rooms=("m", "u"))) == sentences(network.build(grammar))

    @pytest.mark.parametrize("seed", range(5))
    def test_random_sentences_are_sentences(self, seed: int) -> None:
        """What a network is made to say by chance, it accepts."""
        net = built("public <x> = (a | b [c])+ d | <y>; <y> = e [<y>];")
        choose = random.Random(seed).choice
        assert all(net.accepts(net.sentence(choose)) for _ in range(50))

    def test_nothing_else_is_a_sentence(self) -> None:
        """Neither a beginning nor a word too many."""
        net = built("public <x> = stir it;")
        assert not net.accepts(["stir"])
        assert not net.accepts(["stir", "it", "now"])
        assert not net.accepts([])
        assert not net.accepts([""])


class TestOurs:
    """The network of our own phrases."""

    def test_every_name_can_be_said(self) -> None:
        """Each word of each name, and each number word, is in the recogniser's network."""
        book = phrasebook.load(NAMES)
        net = book.network()
        for wording in book.wordings.all:
            if wording.kind in ("drink", "ingredient") and not wording.plural:
                assert net.words.issuperset(wording.words), wording
        assert net.accepts(["what's", "in", "a", "bees", "knees"])
        assert net.accepts(["batch", "forty", "gimlets", "for", "saturday"])
        assert net.accepts(["make", "an", "ounce", "and", "a", "half", "of", "it"])
        assert book.network(in_quiz=True).accepts(["an", "ounce", "and", "a", "half"])

    @pytest.mark.parametrize(
        "said",
        [
            "it's a gimlet",
            "orange liqueur instead of gin and shaken",
            "egg and sulphites",
            "none",
            "why",
            "why was that wrong",
            "slower",
            "say it again slower",
        ],
    )
    def test_what_is_said_in_a_quiz_is_listened_for(self, said: str) -> None:
        """A drink by its build, what changes, allergens; and the questions about a mark and for a slower voice."""
        assert phrasebook.load(NAMES).network(in_quiz=True).accepts(said.split())

    def test_a_book_may_lack_a_kind_of_name(self) -> None:
        """Without families, shelves or any name at all, the rest can still be said."""
        net = phrasebook.load(Names(drink=(Name("Gimlet"),))).network()
        assert net.accepts(["what's", "in", "a", "gimlet"])
        assert net.accepts(["what's", "next"])
        assert phrasebook.load(Names()).network().accepts(["what's", "next"])

    def test_it_stays_small_enough_to_listen_by(self) -> None:
        """A recogniser's time grows with its arcs: names must not be multiplied by the phrases that carry them."""
        net = phrasebook.load(NAMES).network()
        names = sum(len(words) for said in phrasebook.load(NAMES).wordings.by_rule().values() for words in said)
        assert len(net.arcs) < 60 * names


def test_a_plain_grammar_needs_no_names() -> None:
    """Any JSGF file can be listened by, as `transcribe` does."""
    grammar = Grammar("bar", jsgf.parse(f"{HEAD}public <x> = iced mocha | mocha;").rules)
    assert sentences(network.build(grammar)) == {"iced mocha", "mocha"}
