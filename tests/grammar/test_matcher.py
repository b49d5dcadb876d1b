"""What people type and say is understood, asked about, or left alone; never guessed."""

from __future__ import annotations

import random
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import phrasebook
from grammar.command import Ambiguous, Command, Intent, Meaning, NotUnderstood
from grammar.matcher import ACCEPT, CHANGES, Matcher
from grammar.names import Name, Names
from tests.grammar.book_names import NAMES
from tests.grammar.speaker import Speaker, Utterance

HERE = Path(__file__).parent
MATCHER = Matcher(NAMES)
BOOK = phrasebook.load(NAMES)
ENOUGH = 0.985  # of the sayings of said.txt


def table(file: str) -> list[list[str]]:
    """The rows of a table of this folder."""
    lines = (HERE / file).read_text(encoding="utf-8").splitlines()
    return [[cell.strip() for cell in line.split("|")] for line in lines if line.strip() and line[0] != "#"]


def slots_of(text: str) -> dict[str, str]:
    """'drink=Gimlet, count=2' as slots."""
    pairs = (pair.partition("=") for pair in text.split(",") if pair.strip())
    return {slot.strip(): value.strip() for slot, _, value in pairs}


def is_meant(meaning: Meaning, intent: str, slots: dict[str, str]) -> bool:
    """Whether a meaning is the expected one; a text of * is any text."""
    if intent in ("none", "ambiguous"):
        return isinstance(meaning, NotUnderstood if intent == "none" else Ambiguous)
    if not isinstance(meaning, Command) or meaning.intent != intent:
        return False
    found = {slot: str(value) for slot, value in meaning.slots.items()}
    return "text" in found if slots.get("text") == "*" else found == slots


class TestSayings:
    """The development set: a bartender, a trainee and a manager, carefully and in haste."""

    def test_nearly_all_are_understood(self) -> None:
        """Intent and every slot, by text alone."""
        rows = table("said.txt")
        missed = [row for row in rows if not is_meant(MATCHER.understand(row[0]), row[1], slots_of(row[2]))]
        assert len(missed) <= len(rows) * (1 - ENOUGH), "\n".join(
            f"{row} -> {MATCHER.understand(row[0])}" for row in missed
        )

    def test_none_is_taken_for_another(self) -> None:
        """What is not understood is asked about or left alone: no confident answer to another question."""
        wrong = [
            (row, meaning)
            for row in table("said.txt")
            if isinstance(meaning := MATCHER.understand(row[0]), Command)
            and not is_meant(meaning, row[1], slots_of(row[2]))
        ]
        assert wrong == []

    @pytest.mark.parametrize("row", table("unsaid.txt"), ids=lambda row: row[0])
    def test_what_cannot_be_answered_is_not(self, row: list[str]) -> None:
        """Drinks that no book of ours has, other talk and noise are never a command."""
        assert not isinstance(MATCHER.understand(row[0]), Command)

    @pytest.mark.parametrize("row", [row for row in table("unsaid.txt") if row[1]], ids=lambda row: row[0])
    def test_the_missing_name_is_told(self, row: list[str]) -> None:
        """The reply can say what the book lacks."""
        meaning = MATCHER.understand(row[0])
        assert isinstance(meaning, NotUnderstood)
        assert (meaning.unknown.lower(), meaning.kind) == (row[1], row[2])


SLIPS = [
    ("hwo much lime in a gimelt", Intent.AMOUNT, {"ingredient": "lime juice", "drink": "Gimlet"}, "sound"),
    ("whats in a daquiri", Intent.SPEC, {"drink": "Daiquiri"}, "sound"),
    ("garnsih for the gibson", Intent.SPEC, {"drink": "Gibson", "part": "garnish"}, "fuzzy"),
    ("btach 40 gimlets", Intent.BATCH, {"drink": "Gimlet", "count": 40}, "fuzzy"),
    ("what's in a tied rack", Intent.SPEC, {"drink": "Tidewrack"}, "sound"),
    ("what's in a bee's niece", Intent.SPEC, {"drink": "Bee's Knees"}, "sound"),
    ("we're out of oregat", Intent.OUT_OF, {"ingredient": "orgeat"}, "fuzzy"),
    ("wlak me through a tom collins", Intent.BUILD, {"drink": "Tom Collins"}, "fuzzy"),
]


class TestSlips:
    """Typed in haste, or misheard."""

    @pytest.mark.parametrize(("text", "intent", "slots", "how"), SLIPS, ids=[row[0] for row in SLIPS])
    def test_a_slip_is_mended(self, text: str, intent: Intent, slots: dict[str, object], how: str) -> None:
        """The right name, with less confidence than as written, and how it was made out."""
        meaning = MATCHER.understand(text)
        assert isinstance(meaning, Command)
        assert (meaning.intent, dict(meaning.slots), meaning.how) == (intent, slots, how)
        assert 1 - ACCEPT <= meaning.confidence < 1

    @pytest.mark.parametrize("seed", range(4))
    def test_a_letter_out_of_place_never_turns_the_meaning(self, seed: int) -> None:
        """With one slip in a sentence, the same is meant, or it is asked about, or not understood."""
        chance = random.Random(seed)
        rows = [row for row in table("said.txt") if row[1] not in ("none", "ambiguous") and len(row[0]) > 3]
        for row in chance.sample(rows, 60):
            slipped = _slip(row[0], chance)
            meaning = MATCHER.understand(slipped)
            if isinstance(meaning, Command) and meaning.intent in CHANGES:
                assert meaning.intent == row[1], (row[0], slipped)


def _slip(text: str, chance: random.Random) -> str:
    """The text with two neighbouring letters changed places."""
    at = chance.choice([i for i in range(len(text) - 1) if text[i].isalpha() and text[i + 1].isalpha()])
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]


class TestExact:
    """What fits word for word."""

    def test_it_is_certain_and_shows_its_stretches(self) -> None:
        """Confidence is whole, and each slot knows the letters it was taken from."""
        text = "Can you tell me how much Lime in a Gimlet?"
        meaning = MATCHER.understand(text)
        assert isinstance(meaning, Command)
        assert (meaning.confidence, meaning.how) == (1.0, "exact")
        assert {slot: text[start:end] for slot, (start, end) in meaning.spans.items()} == {
            "ingredient": "Lime",
            "drink": "Gimlet",
        }

    def test_slots_have_their_types(self) -> None:
        """Counts are whole, money and amounts are decimals."""
        set_price, scale = MATCHER.understand("set gin to $31.50"), MATCHER.understand("make that six")
        assert isinstance(set_price, Command)
        assert isinstance(scale, Command)
        assert set_price.slots["money"] == Decimal("31.5")
        assert scale.slots["count"] == 6
        assert type(scale.slots["count"]) is int

    def test_a_new_name_is_kept_as_it_was_typed(self) -> None:
        """Capitals and all, whatever the words are."""
        meaning = MATCHER.understand("Call it the Skerry Haven Sling!")
        assert isinstance(meaning, Command)
        assert meaning.slots == {"text": "the Skerry Haven Sling"}

    @pytest.mark.parametrize("rule", ["house.request", "typed.more", "bar_talk.more"])
    @pytest.mark.parametrize("seed", range(3))
    def test_every_sentence_comes_back_to_its_own_meaning(self, rule: str, seed: int) -> None:
        """Round trip: what the phrases say by chance is parsed to the intent and the slots it was said with."""
        speaker = Speaker(ROUND_TRIP, seed)
        options = BOOK.grammar.rules[rule].body
        assert hasattr(options, "options")
        for option in options.options * 8:
            said = speaker.say(option)
            meaning = ROUND_TRIP_MATCHER.understand(" ".join(said.words))
            assert _is_what_was_said(meaning, said), (said, meaning)

    def test_whatever_a_recogniser_can_hear_is_a_sentence(self) -> None:
        """Every sentence of its network parses, so that what was heard is never a riddle."""
        network = ROUND_TRIP.network()
        choose = random.Random(11).choice
        for _ in range(400):
            said = " ".join(network.sentence(choose))
            assert not isinstance(ROUND_TRIP_MATCHER.understand(said), NotUnderstood), said


# Names that are no other word of the phrases: 'milk' is an allergen too, and is then meant as one.
ROUND_TRIP_NAMES = Names(
    drink=tuple(Name(name) for name in ("Gimlet", "Clover Club", "Bee's Knees", "French 75", "Tidewrack")),
    ingredient=tuple(Name(name) for name in ("dry gin", "lime juice", "orgeat", "aged rum", "mezcal")),
    family=(Name("fizz"), Name("daisy")),
    shelf=(Name("classics"), Name("house drinks")),
    person=(Name("Sam"),),
)
ROUND_TRIP = phrasebook.load(ROUND_TRIP_NAMES)
ROUND_TRIP_MATCHER = Matcher(ROUND_TRIP_NAMES)


def _is_what_was_said(meaning: Meaning, said: Utterance) -> bool:
    expected = dict(said.slots)
    intent = expected.pop("intent")
    if not isinstance(meaning, Command) or meaning.intent != intent or set(meaning.slots) != set(expected):
        return False
    return all(value is None or str(meaning.slots[slot]) == value for slot, value in expected.items())


OPPOSITES = [
    (Intent.OUT_OF, Intent.BACK_IN),
    (Intent.NEXT_STEP, Intent.PREVIOUS_STEP),
    (Intent.YES, Intent.NO),
    (Intent.SET_PRICE, Intent.WHAT_IF_PRICE),
    (Intent.UNDO, Intent.CANCEL),
]


class TestOpposites:
    """They never cross."""

    @pytest.mark.parametrize(("one", "other"), [*OPPOSITES, *((b, a) for a, b in OPPOSITES)])
    def test_a_slip_never_makes_the_opposite(self, one: Intent, other: Intent) -> None:
        """Words left out, doubled, or spelled wrong: 'out' never becomes 'back'."""
        speaker = Speaker(ROUND_TRIP, 5)
        chance = random.Random(5)
        rule = phrasebook.rule_of(one)
        for _ in range(60):
            words = list(speaker.say(rule.body).words)
            damaged = _damaged(words, chance)
            meaning = ROUND_TRIP_MATCHER.understand(damaged)
            assert not (isinstance(meaning, Command) and meaning.intent is other), (words, damaged)

    @pytest.mark.parametrize(
        ("text", "text_slot"),
        [("which drinks are over twenty percent", "over"), ("which drinks are under twenty percent", "under")],
    )
    def test_over_is_not_under(self, text: str, text_slot: str) -> None:
        """The bound is what was said."""
        meaning = MATCHER.understand(text)
        assert isinstance(meaning, Command)
        assert meaning.slots["text"] == text_slot

    @pytest.mark.parametrize(
        "text",
        [
            "are we out of orgeat",
            "is the orgeat back",
            "we are not out of orgeat",
            "don't set gin to thirty dollars",
            "should i set gin to thirty dollars",
            "did we run out of mint",
            "i wonder if the orgeat is back",
        ],
    )
    def test_a_question_changes_nothing(self, text: str) -> None:
        """What is asked, denied or wondered about is not done."""
        meaning = MATCHER.understand(text)
        assert not (isinstance(meaning, Command) and meaning.intent in CHANGES)


def _damaged(words: list[str], chance: random.Random) -> str:
    """A sentence with a word less (not its 'not'), a word more, or a letter out of place."""
    at = chance.randrange(len(words))
    kind = chance.choice(("less", "more", "slip"))
    if kind == "less" and len(words) > 1 and words[at] not in BOOK.lexicon.listed("common.hard"):
        return " ".join(words[:at] + words[at + 1 :])
    if kind == "more":
        return " ".join([*words[:at], words[at], *words[at:]])
    return _slip(" ".join([*words, "please"]), chance)


class TestDoubt:
    """Two that are about as likely are asked about, by name."""

    @pytest.mark.parametrize(
        ("text", "differs", "names"),
        [
            ("how much vermouth in a manhattan", "ingredient", {"sweet vermouth", "dry vermouth"}),
            ("what's in a copper", "drink", {"Copper Daisy", "Kelp and Copper"}),
            ("what's in a pink", "drink", {"Pink Lady", "Pink Gin"}),
            ("what's in a martine", "drink", {"Martini", "Martinez"}),
        ],
    )
    def test_it_asks_which(self, text: str, differs: str, names: set[str]) -> None:
        """Every choice is a whole command, and they differ in the slot that is asked about."""
        meaning = MATCHER.understand(text)
        assert isinstance(meaning, Ambiguous)
        assert meaning.differs == differs
        assert {choice.slots[differs] for choice in meaning.choices} == names
        assert len({choice.intent for choice in meaning.choices}) == 1

    def test_one_wording_of_two_names_is_asked_about(self) -> None:
        """Two ingredients that the book lets people call 'bitters'."""
        names = Names(ingredient=(Name("aromatic bitters", ("bitters",)), Name("orange bitters", ("bitters",))))
        meaning = Matcher(names).understand("we're out of bitters")
        assert isinstance(meaning, Ambiguous)
        assert (meaning.differs, len(meaning.choices)) == ("ingredient", 2)

    @pytest.mark.parametrize("text", ["the negroni, what's the crack", "tell me everything about the negroni"])
    def test_where_one_drink_is_named_and_no_more_is_clear_it_asks_what(self, text: str) -> None:
        """The spec, the steps, or what it costs."""
        meaning = MATCHER.understand(text)
        assert isinstance(meaning, Ambiguous)
        assert meaning.differs == "intent"
        assert [choice.intent for choice in meaning.choices] == [Intent.SPEC, Intent.BUILD, Intent.COST]
        assert {choice.slots["drink"] for choice in meaning.choices} == {"Negroni"}

    @pytest.mark.parametrize(
        "text",
        ["my brother spilled a negroni", "who had the negroni", "negroni gimlet sauce", "will two negronis do me in"],
    )
    def test_other_talk_that_names_a_drink_is_left_alone(self, text: str) -> None:
        """Other things named or counted, or more than one word that we do not know."""
        assert isinstance(MATCHER.understand(text), NotUnderstood)

    @pytest.mark.parametrize(
        "text",
        [
            "guy says no dairy, can he do a brandy alexander",
            "no dairy for this one, can he do a brandy alexander",
            "no dairy, would a brandy alexander do",
            "she can do no egg, is a clover club",
        ],
    )
    def test_a_question_leaves_nothing_out(self, text: str) -> None:
        """Who asks whether a guest without dairy can have it is not told how it is made without."""
        meaning = MATCHER.understand(text)
        assert not isinstance(meaning, Command) or meaning.intent is Intent.CONTAINS

    def test_too_many_are_none(self) -> None:
        """'syrup' is the end of five names: nobody wants that list read out."""
        assert isinstance(MATCHER.understand("what can i use instead of syrup"), NotUnderstood)


class TestAnything:
    """No text whatever breaks it."""

    @settings(deadline=None, max_examples=150)
    @given(st.text(max_size=120))
    def test_any_text_has_a_meaning_or_none(self, text: str) -> None:
        """Every string gives one of the three messages, about that very text."""
        meaning = MATCHER.understand(text)
        assert isinstance(meaning, Command | Ambiguous | NotUnderstood)
        if not isinstance(meaning, Command):
            assert meaning.text == text

    @settings(deadline=None, max_examples=150)
    @given(st.lists(st.sampled_from(sorted(BOOK.lexicon.words | BOOK.wordings.words)), min_size=1, max_size=14))
    def test_any_words_of_ours_do_too(self, words: list[str]) -> None:
        """Nor do our own words in any order; spans are stretches of the text."""
        text = " ".join(words)
        meaning = MATCHER.understand(text)
        if isinstance(meaning, Command):
            assert all(0 <= start < end <= len(text) for start, end in meaning.spans.values())
            assert 0 < meaning.confidence <= 1

    @pytest.mark.parametrize("text", ["gin " * 80, "half a " * 40, "one " * 80, "x" * 600, "and the " * 40, "a" * 9000])
    def test_long_texts_end(self, text: str) -> None:
        """More than anyone says in a breath is answered too, and changes nothing."""
        meaning = MATCHER.understand(text)
        assert not (isinstance(meaning, Command) and meaning.intent in CHANGES)

    def test_an_empty_book_understands_what_needs_no_name(self) -> None:
        """Next, back and help work before a book is there."""
        meaning = Matcher(Names()).understand("what's next")
        assert isinstance(meaning, Command)
        assert meaning.intent is Intent.NEXT_STEP


class TestPronunciation:
    """With a recogniser's dictionary."""

    WITH = Matcher(NAMES, {"sidebar": "S AY D B AA R", "outside": "AW T S AY D", "speck": "S P EH K", "tied": "T AY D"})

    @pytest.mark.parametrize("text", ["what's in a sidebar", "how is it outside"])
    def test_an_english_word_is_no_slip(self, text: str) -> None:
        """'sidebar' is a word of its own, and no sidecar."""
        assert isinstance(self.WITH.understand(text), NotUnderstood)

    def test_what_sounds_the_same_is_the_same(self) -> None:
        """A recogniser cannot tell 'speck' from 'spec'."""
        meaning = self.WITH.understand("gimlet speck")
        assert isinstance(meaning, Command)
        assert (meaning.intent, meaning.how) == (Intent.SPEC, "sound")
