"""A trainee's quiz: asked, marked, put right, and told what is still missed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import ClassVar

import pytest

from assistant.answers import quiz
from assistant.answers.base import Answer, Marked, Scene
from assistant.answers.quiz_round import KEPT_AS, ROUND, Round, open_round
from assistant.answers.quiz_words import put, right_answer
from assistant.answers.safety import STANDING
from assistant.dialogue import Dialogue
from assistant.memory import Memory
from assistant.messages import Bars, Focus, Reply, Table
from assistant.reciting import recited
from assistant.tonight import Tonight
from grammar.command import Command, Intent, Meaning, NotUnderstood
from recipes.changes import near
from recipes.loader import load_book
from recipes.marking import mark
from recipes.model import Book
from recipes.quiz import Kind, Question, still_asked


@pytest.fixture(scope="module")
def book() -> Book:
    """The book that ships."""
    return load_book()


WHY = Command(Intent.SCORE, {"text": "why"})


def asked(kind: Kind, drink: str, ingredient: str = "", answered: int = 0, other: str = "") -> Focus:
    """A talk in which this question is open."""
    going = Round((drink, "Gimlet", "Negroni"), "the test", 0, Question(kind, drink, ingredient, other), answered)
    return Focus(extra={KEPT_AS: going})


def answer(book: Book, text: str, kind: Kind, drink: str, ingredient: str = "") -> Answer:
    """What comes back for an answer to this question."""
    return quiz.answer(Command(Intent.ANSWER, {"text": text}), Scene(book, frozenset(), asked(kind, drink, ingredient)))


def told(found: Answer) -> str:
    """The first part of the reply: how the answer was."""
    return found.reply.say.partition(" Next. ")[0]


def mark_of(found: Answer) -> tuple[str, int, int]:
    """The mark that is kept."""
    assert isinstance(found.change, Marked)
    return found.change.kind, found.change.points, found.change.out_of


@pytest.mark.parametrize(
    ("text", "points", "say"),
    [
        (
            "two ounces white rum, three quarters lime juice and three quarters of simple syrup",
            9,
            "Right. The Daiquiri is two ounces white rum, three quarters of an ounce lime juice and "
            "three quarters of an ounce simple syrup.",
        ),
        ("2 oz white rum, 3/4 oz lime, 3/4 oz simple", 9, None),
        ("sixty mil white rum, twenty two point five mil lime juice, twenty two point five mil simple syrup", 9, None),
        (
            "two ounces white rum an ounce of lime juice three quarters of an ounce simple syrup",
            8,
            "Eight of nine points. Lime juice is close: it is three quarters of an ounce, you said one ounce.",
        ),
        (
            "two ounces white rum, half an ounce of lime juice, two ounces of simple syrup",
            6,
            "Six of nine points. Lime juice is close: it is three quarters of an ounce, you said half an ounce. "
            "Simple syrup is three quarters of an ounce, you said two ounces.",
        ),
        (
            "two ounces gin and three quarters of an ounce of lime juice",
            2,
            "Two of nine points. You left out two ounces of white rum and three quarters of an ounce of simple syrup. "
            "There is no gin in it.",
        ),
        (
            "white rum, lime juice and simple syrup",
            3,
            "Three of nine points. You named no amount for two ounces of white rum, three quarters of an ounce of "
            "lime juice and three quarters of an ounce of simple syrup.",
        ),
    ],
)  # fmt: skip
def test_a_build_is_marked_line_by_line(book: Book, text: str, points: int, say: str | None) -> None:
    """Recited aloud, each line gets its points, and what was not right is put right in a line."""
    found = answer(book, text, Kind.BUILD, "Daiquiri")
    assert mark_of(found) == ("build", points, 9)
    assert say is None or told(found) == say


@pytest.mark.parametrize(
    ("kind", "drink", "ingredient", "text", "mark", "say"),
    [
        (Kind.AMOUNT, "Daiquiri", "lime juice", "three quarters of an ounce", (3, 3),
         "Right. The Daiquiri has three quarters of an ounce of lime juice."),
        (Kind.AMOUNT, "Daiquiri", "lime juice", "one ounce", (2, 3),
         "Nearly: the Daiquiri has three quarters of an ounce of lime juice."),
        (Kind.AMOUNT, "Daiquiri", "lime juice", "two ounces of lime juice", (0, 3),
         "No: the Daiquiri has three quarters of an ounce of lime juice."),
        (Kind.METHOD, "Daiquiri", "", "you shake it", (1, 1), "Right. The Daiquiri is shaken: it has lime juice."),
        (Kind.METHOD, "Negroni", "", "shaken", (0, 1),
         "No: the Negroni is stirred: it is all clear, and wants no air beaten in."),
        (Kind.GLASS, "Daiquiri", "", "a coupe", (1, 1), "Right. The Daiquiri goes in a coupe."),
        (Kind.GLASS, "Negroni", "", "the coupe", (0, 1), "No: the Negroni goes in a rocks glass."),
        (Kind.GLASS, "Negroni", "", "rocks", (1, 1), "Right. The Negroni goes in a rocks glass."),
        (Kind.GARNISH, "Gimlet", "", "lime wheel", (1, 1), "Right. The Gimlet wears a lime wheel."),
        (Kind.FAMILY, "Daiquiri", "", "it's a sour", (2, 2), "Right. The Daiquiri is a sour: "),
        (Kind.FAMILY, "Sidecar", "", "a sour", (1, 2), "Nearly: the Sidecar is a daisy: "),
        (Kind.FAMILY, "Daiquiri", "", "highballs", (0, 2), "No: the Daiquiri is a sour: "),
        (Kind.MISSING, "Daiquiri", "lime juice", "the lime", (1, 1), "Right. The Daiquiri has lime juice."),
        (Kind.MISSING, "Daiquiri", "lime juice", "lemon juice", (0, 1), "No: the Daiquiri has lime juice."),
        (Kind.NAME, "Daiquiri", "", "the daiquiri", (1, 1), "Right. That is the Daiquiri."),
        (Kind.NAME, "Daiquiri", "", "a gimlet", (0, 1), "No: that is the Daiquiri."),
        (Kind.ALLERGENS, "Clover Club", "", "egg", (1, 1),
         "Right. The Clover Club has egg by our data: egg from egg white."),
        (Kind.ALLERGENS, "Clover Club", "", "none", (0, 1),
         "No: the Clover Club has egg by our data: egg from egg white."),
        (Kind.ALLERGENS, "Daiquiri", "", "no", (1, 1),
         "Right. The Daiquiri has no listed allergen by our data: check the labels."),
    ],
)  # fmt: skip
def test_other_questions_are_marked_and_put_right(
    book: Book, kind: Kind, drink: str, ingredient: str, text: str, mark: tuple[int, int], say: str
) -> None:
    """Whatever is asked, the right answer is said, with the reason for it where there is one."""
    found = answer(book, text, kind, drink, ingredient)
    assert mark_of(found)[1:] == mark
    assert told(found).startswith(say)


@pytest.mark.parametrize(
    ("first", "second", "text", "mark", "say"),
    [
        ("Negroni", "Boulevardier", "bourbon for gin", (2, 2),
         "Right. From the Negroni to the Boulevardier you leave out gin, and add one and a half ounces of bourbon."),
        ("Mojito", "Daiquiri", "no mint and no soda", (2, 3),
         "Nearly: from the Mojito to the Daiquiri you leave out mint and soda water, and it is shaken."),
        ("Gibson", "Gimlet", "stirred", (0, 4),
         "No: from the Gibson to the Gimlet you leave out dry vermouth, add three quarters of an ounce of lime "
         "cordial, pour two ounces of gin, and it is shaken."),
    ],
)  # fmt: skip
def test_what_changes_is_marked_and_put_right(
    book: Book, first: str, second: str, text: str, mark: tuple[int, int], say: str
) -> None:
    """What goes out, what comes in, what has another amount, and the method: a point for each that is named."""
    focus = asked(Kind.CHANGE, second, other=first)
    found = quiz.answer(Command(Intent.ANSWER, {"text": text}), Scene(book, frozenset(), focus))
    assert mark_of(found) == (f"change from {first}", *mark)
    assert told(found) == say


@pytest.mark.parametrize(("kind", "cautions"), [(Kind.ALLERGENS, (STANDING,)), (Kind.GLASS, ())])
def test_the_caution_goes_with_every_word_on_allergens(book: Book, kind: Kind, cautions: tuple[str, ...]) -> None:
    """With an answer that is marked, with one that is skipped, and with why."""
    marked = answer(book, "none or coupe", kind, "Gimlet")
    skipped = quiz.skip(Command(Intent.SKIP), Scene(book, frozenset(), asked(kind, "Gimlet")))
    explained = quiz.score(WHY, Scene(book, frozenset(), marked.focus))
    assert [found.reply.cautions for found in (marked, skipped, explained)] == [cautions] * 3


@pytest.mark.parametrize("text", ["", "what a lovely evening", "well I do not quite"])
def test_what_is_no_answer_is_not_marked(book: Book, text: str) -> None:
    """Noise is asked about again; only an answer gets a mark."""
    found = answer(book, text, Kind.METHOD, "Daiquiri")
    assert found.change is None
    assert found.reply.say.startswith("I heard no answer in that. How is the Daiquiri mixed?")
    assert open_round(found.focus) == open_round(asked(Kind.METHOD, "Daiquiri"))


@pytest.mark.parametrize(
    ("kind", "drink", "ingredient", "question"),
    [
        (Kind.BUILD, "Daiquiri", "", "How is the Daiquiri built? Name each pour and how much."),
        (Kind.AMOUNT, "Daiquiri", "lime juice", "How much lime juice goes into the Daiquiri?"),
        (Kind.METHOD, "Daiquiri", "", "How is the Daiquiri mixed?"),
        (Kind.GLASS, "Daiquiri", "", "Which glass does the Daiquiri go in?"),
        (Kind.GARNISH, "Daiquiri", "", "What garnishes the Daiquiri?"),
        (Kind.FAMILY, "Daiquiri", "", "Which family does the Daiquiri belong to?"),
        (Kind.MISSING, "Daiquiri", "lime juice",
         "The Daiquiri has white rum and simple syrup, and one thing more. What is missing?"),
        (Kind.NAME, "Daiquiri", "",
         "Two ounces white rum, three quarters of an ounce lime juice and three quarters of an ounce simple syrup, "
         "shaken. Which drink is it?"),
        (Kind.ALLERGENS, "Daiquiri", "",
         "Which allergens does the Daiquiri have? Say none if it has none by our data."),
    ],
)  # fmt: skip
def test_how_each_question_is_put(book: Book, kind: Kind, drink: str, ingredient: str, question: str) -> None:
    """One short sentence for the ear."""
    assert put(Question(kind, drink, ingredient), book) == question


def test_how_it_is_asked_what_changes(book: Book) -> None:
    """Both drinks are named, in the order of the change."""
    question = put(Question(Kind.CHANGE, "Boulevardier", other="Negroni"), book)
    assert question == "From the Negroni to the Boulevardier: what changes, in the pours and the method?"


@pytest.mark.parametrize(
    ("slots", "title", "drinks"),
    [
        ({"drink": "Gimlet"}, "the Gimlet", {"Gimlet"}),
        ({"family": "flip"}, "the flip family", {"Brandy Flip", "Sherry Flip"}),
        ({"shelf": "fogbell"}, "The Fogbell", {"Tidewrack", "Dry Dock"}),
        ({}, "the whole book", {"Gimlet", "Tidewrack", "Negroni"}),
    ],
)
def test_what_the_quiz_is_about(book: Book, slots: dict[str, str], title: str, drinks: set[str]) -> None:
    """A drink, a family, a shelf or everything."""
    found = quiz.quiz(Command(Intent.QUIZ, slots), Scene(book, frozenset(), Focus()))
    going = open_round(found.focus)
    assert going is not None
    assert going.title == title
    assert drinks <= set(going.drinks)
    assert found.reply.say.startswith(f"Ten questions on {title}. ")


def test_the_quiz_goes_on_where_the_last_one_ended(book: Book) -> None:
    """With marks behind, the first question is not the first one again."""
    marks: tuple[Marked, ...] = ()
    asked = []
    for _ in range(3):
        going = open_round(quiz.quiz(Command(Intent.QUIZ), Scene(book, frozenset(), Focus(), marks=marks)).focus)
        assert going is not None
        asked.append(going.asked)
        marks += (Marked("Ana", going.asked.drink, going.asked.subject, 1, 1),)
    assert len({question.drink for question in asked}) == 3


def test_a_round_ends_with_its_score(book: Book) -> None:
    """After the last question the points are told and the round is over."""
    focus = asked(Kind.METHOD, "Daiquiri", answered=ROUND - 1)
    found = quiz.answer(Command(Intent.ANSWER, {"text": "shaken"}), Scene(book, frozenset(), focus))
    assert "That was the last one. Ten questions, one of one point." in found.reply.say
    assert open_round(found.focus) is None


def test_a_skip_tells_the_answer_and_counts_as_missed(book: Book) -> None:
    """'I don't know' is told what is right, and will come up among what is missed."""
    found = quiz.skip(Command(Intent.SKIP), Scene(book, frozenset(), asked(Kind.GLASS, "Daiquiri"), trainee="Ana"))
    assert found.reply.say.startswith("The Daiquiri goes in a coupe. Next. ")
    assert found.change == Marked("Ana", "Daiquiri", "glass", 0, 1)


@pytest.mark.parametrize("intent", [Intent.ANSWER, Intent.SKIP])
def test_without_a_question_there_is_nothing_to_answer(book: Book, intent: Intent) -> None:
    """'Shaken', said out of a quiz, is told how to start one."""
    found = quiz.HANDLERS[intent](Command(intent, {"text": "shaken"}), Scene(book, frozenset(), Focus()))
    assert found.reply.say.endswith("Say quiz me to start.")
    assert found.change is None


def test_a_drink_that_left_the_book_ends_the_round(book: Book) -> None:
    """A question about a drink that is gone is not marked."""
    found = answer(replace(book, drinks={}), "shaken", Kind.METHOD, "Daiquiri")
    assert (found.change, open_round(found.focus)) == (None, None)


class TestWhy:
    """'Why?': the rules behind the last mark, and the right answer again."""

    @pytest.mark.parametrize(
        ("kind", "drink", "ingredient", "text", "say"),
        [
            (Kind.BUILD, "Daiquiri", "", "two ounces white rum, one ounce lime juice and an egg white",
             "Four of nine points. White rum: the exact amount, three points. Lime juice: within a jigger step, "
             "two points. Simple syrup: left out, zero points. Egg white: named, and not in it, one point off. "
             "The Daiquiri is two ounces white rum, three quarters of an ounce lime juice and three quarters of an "
             "ounce simple syrup."),
            (Kind.BUILD, "Daiquiri", "", "white rum, two ounces lime juice, and simple syrup",
             "Three of nine points. White rum and simple syrup: no amount said, one point each. "
             "Lime juice: more than a jigger step off, one point. The Daiquiri is "),
            (Kind.AMOUNT, "Daiquiri", "lime juice", "two ounces",
             "Zero of three points. Lime juice: more than a jigger step off, zero points. The Daiquiri has "),
            (Kind.FAMILY, "Sidecar", "", "a sour",
             "One of two points. Daisy: one branch away, one point. The Sidecar is a daisy: "),
            (Kind.GLASS, "Daiquiri", "", "rocks",
             "Zero of one point. Coupe: not named, zero points. Rocks glass: named, and not so, one point off. "
             "The Daiquiri goes in a coupe."),
            (Kind.METHOD, "Daiquiri", "", "shaken",
             "One of one point. Shaken: right, one point. The Daiquiri is shaken: it has lime juice."),
        ],
    )  # fmt: skip
    def test_each_part_has_its_rule(
        self, book: Book, kind: Kind, drink: str, ingredient: str, text: str, say: str
    ) -> None:
        """And then the open question comes again."""
        marked = answer(book, text, kind, drink, ingredient)
        found = quiz.score(WHY, Scene(book, frozenset(), marked.focus))
        assert found.reply.say.startswith(say)
        going = open_round(marked.focus)
        assert going is not None
        assert found.reply.say.endswith(f"Back to the question. {put(going.asked, book)}")
        assert open_round(found.focus) == going

    def test_it_can_be_asked_when_the_round_is_over(self, book: Book) -> None:
        """Of the last answer; a new round begins without one."""
        focus = asked(Kind.METHOD, "Daiquiri", answered=ROUND - 1)
        last = quiz.answer(Command(Intent.ANSWER, {"text": "shaken"}), Scene(book, frozenset(), focus))
        say = quiz.score(WHY, Scene(book, frozenset(), last.focus)).reply.say
        assert say.startswith("One of one point. Shaken: right, one point. ")
        anew = quiz.quiz(Command(Intent.QUIZ), Scene(book, frozenset(), last.focus))
        say = quiz.score(WHY, Scene(book, frozenset(), anew.focus)).reply.say
        assert say.startswith("There is no mark to explain. Back to the question. ")

    def test_a_floor_test_explains_nothing_before_its_end(self, book: Book) -> None:
        """The question comes again."""
        test = quiz.quiz(Command(Intent.QUIZ, {"text": "test"}), Scene(book, frozenset(), Focus()))
        after = quiz.skip(Command(Intent.SKIP), Scene(book, frozenset(), test.focus))
        found = quiz.score(WHY, Scene(book, frozenset(), after.focus)).reply
        assert found.say.startswith("That is told at the end of the test. Back to the question. ")
        assert found.card is None

    def test_a_drink_that_left_the_book_is_not_explained(self, book: Book) -> None:
        """Nor is there a question to go back to."""
        marked = answer(book, "shaken", Kind.METHOD, "Daiquiri")
        say = quiz.score(WHY, Scene(replace(book, drinks={}), frozenset(), marked.focus)).reply.say
        assert say == "There is no mark to explain. Say quiz me for a question."


class TestScore:
    """'What do I still miss?'"""

    MARKS = (
        Marked("Ana", "Daiquiri", "build", 3, 9),
        Marked("Ana", "Daiquiri", "build", 9, 9),
        Marked("Ana", "Sidecar", "family", 0, 2),
        Marked("Ana", "Negroni", "glass", 1, 1),
        Marked("Ana", "Negroni", "amount of gin", 2, 3),
        Marked("Ana", "Gone From The Book", "glass", 0, 1),
    )

    def test_the_weakest_come_first(self, book: Book) -> None:
        """By drink and by family, by the latest answers alone."""
        say = quiz.score(Command(Intent.SCORE), Scene(book, frozenset(), Focus(), marks=self.MARKS)).reply.say
        assert say == "You still miss most in the Sidecar and the Negroni. The family you know least is the daisy."

    def test_the_card_shows_it_in_bars(self, book: Book) -> None:
        """A bar for each drink and each family, in percent of the points."""
        card = quiz.score(Command(Intent.SCORE), Scene(book, frozenset(), Focus(), marks=self.MARKS)).reply.card
        assert card is not None
        _, families, drinks = card.blocks
        assert isinstance(families, Bars)
        assert isinstance(drinks, Bars)
        assert [bar.label for bar in families.bars] == ["daisy", "equal-part aperitif", "sour"]
        assert [(bar.label, bar.figure.text) for bar in drinks.bars] == [
            ("Sidecar", "0 %"),
            ("Negroni", "75 %"),
            ("Daiquiri", "100 %"),
        ]

    def test_all_right_misses_nothing(self, book: Book) -> None:
        """When the latest answers are all right, nothing is missed."""
        scene = Scene(book, frozenset(), Focus(), marks=self.MARKS[1:2])
        assert quiz.score(Command(Intent.SCORE), scene).reply.say == "By your latest answers you miss nothing."

    def test_without_marks_there_is_no_score(self, book: Book) -> None:
        """Before the first answer, the way in is told."""
        say = quiz.score(Command(Intent.SCORE), Scene(book, frozenset(), Focus())).reply.say
        assert say == "You have no marks yet. Say quiz me to start."


def test_the_marking_card_sets_the_book_beside_the_answer(book: Book) -> None:
    """Line by line: what the book has, what was said, and the points."""
    card = answer(book, "two ounces white rum and an ounce of lime juice", Kind.BUILD, "Daiquiri").reply.card
    assert card is not None
    table = card.blocks[0]
    assert isinstance(table, Table)
    lines = [(row.label, *(cell if isinstance(cell, str) else cell.text for cell in row.cells)) for row in table.rows]
    assert lines == [
        ("white rum", "2 oz", "2 oz", "3 of 3"),
        ("lime juice", "3/4 oz", "1 oz", "2 of 3"),
        ("simple syrup", "3/4 oz", "", "0 of 3"),
    ]


SAID = {
    "quiz me on the daiquiri": Command(Intent.QUIZ, {"drink": "Daiquiri"}),
    "skip": Command(Intent.SKIP),
    "next": Command(Intent.NEXT_STEP),
    "how am i doing": Command(Intent.SCORE),
    "stop": Command(Intent.CANCEL),
    "say that again": Command(Intent.REPEAT),
    "slower": Command(Intent.REPEAT, {"text": "slowly"}),
    "why": Command(Intent.SCORE, {"text": "why"}),
    "undo": Command(Intent.UNDO),
    "yes": Command(Intent.YES),
    "daiquiri": Command(Intent.SPEC, {"drink": "Daiquiri"}),
    "sour": Command(Intent.FAMILY, {"family": "sour"}),
    "cancle": Command(Intent.CANCEL, how="fuzzy", confidence=0.7),
}


class Quizzing:
    """A matcher that knows the words of a quiz, and takes a drink's name for its spec as the real one does."""

    def understand(self, text: str) -> Meaning:
        """The command, word for word."""
        return SAID.get(text, NotUnderstood(text))


class TestInATalk:
    """While a question is open, what is said is an answer, unless it is a clear command."""

    @pytest.fixture
    def memory(self, tmp_path: Path) -> Iterator[Memory]:
        """An empty memory."""
        memory = Memory(f"sqlite:///{tmp_path / 'shift.db'}")
        yield memory
        memory.close()

    @pytest.fixture
    def talk(self, book: Book, memory: Memory) -> Dialogue:
        """A talk in which a quiz on the Daiquiri was started: its build is asked."""
        tonight = Tonight(book, Quizzing())
        dialogue = Dialogue(lambda: tonight, memory)
        assert "How is the Daiquiri built?" in dialogue.ask("quiz me on the daiquiri", "bar", "Ana").say
        return dialogue

    def say(self, talk: Dialogue, *texts: str) -> Reply:
        """Say these; the last reply."""
        return [talk.ask(text, "bar", "Ana") for text in texts][-1]

    def test_an_answer_is_marked_and_kept(self, talk: Dialogue, memory: Memory) -> None:
        """The mark is in the memory under the trainee's name, and can be undone."""
        reply = self.say(talk, "two ounces white rum")
        assert reply.undo is not None
        assert memory.marks("Ana") == (Marked("Ana", "Daiquiri", "build", 3, 9),)
        assert self.say(talk, "undo").say == "Undone. That mark does not count."
        assert memory.marks("Ana") == ()

    @pytest.mark.parametrize("text", ["daiquiri", "sour", "yes", "cancle"])
    def test_names_and_near_commands_are_answers(self, talk: Dialogue, memory: Memory, text: str) -> None:
        """A name is not taken for a question of its own, nor a slip for a command; the quiz goes on."""
        assert self.say(talk, text).say.startswith("I heard no answer in that.")
        assert memory.marks("Ana") == ()

    @pytest.mark.parametrize("text", ["skip", "next"])
    def test_skip_skips(self, talk: Dialogue, memory: Memory, text: str) -> None:
        """'Skip', or 'next', goes on to the next question."""
        assert self.say(talk, text).say.startswith("The Daiquiri is two ounces white rum,")
        assert [mark.points for mark in memory.marks("Ana")] == [0]

    def test_score_comes_back_to_the_question(self, talk: Dialogue) -> None:
        """'How am I doing' is answered, and the question asked again."""
        say = self.say(talk, "skip", "how am i doing").say
        assert say.startswith("One question, zero of nine points. You still miss most in the Daiquiri.")
        assert "Back to the question. " in say

    def test_an_undone_mark_is_taken_out_of_the_round(self, talk: Dialogue) -> None:
        """'Undo' after a slip of the tongue: at the end of the round it is as if it had not been said."""
        self.say(talk, "two ounces white rum", "skip", "undo", "undo")
        assert self.say(talk, "stop").say == "All right. The quiz is over."

    def test_repeat_repeats_the_question(self, talk: Dialogue) -> None:
        """'Say that again' is not an answer."""
        assert "How is the Daiquiri built?" in self.say(talk, "say that again").say

    def test_slower_asks_the_question_slowly(self, talk: Dialogue) -> None:
        """The question alone, without the mark before it; said again, it is as quick as ever."""
        question = self.say(talk, "skip").say.partition(" Next. ")[2]
        slower = self.say(talk, "slower")
        assert (slower.say, slower.slow, slower.undo) == (question, True, None)
        again = self.say(talk, "say that again")
        assert (again.say, again.slow) == (question, False)

    def test_out_of_a_quiz_the_last_answer_is_said_slowly(self, talk: Dialogue) -> None:
        """Whatever it was."""
        spec = self.say(talk, "stop", "daiquiri")
        slower = self.say(talk, "slower")
        assert (slower.say, slower.slow) == (spec.say, True)

    def test_why_explains_and_comes_back(self, talk: Dialogue, memory: Memory) -> None:
        """It is no answer, and marks nothing; a mark that was undone is not explained."""
        say = self.say(talk, "two ounces white rum", "why").say
        assert say.startswith("Three of nine points. White rum: the exact amount, three points. ")
        assert "Back to the question. " in say
        assert len(memory.marks("Ana")) == 1
        assert self.say(talk, "undo", "why").say.startswith("There is no mark to explain.")

    def test_why_of_somebody_else_is_not_told(self, talk: Dialogue) -> None:
        """Who takes over the phone begins anew."""
        self.say(talk, "two ounces white rum")
        assert talk.ask("why", "bar", "Bo").say == "There is no mark to explain. Say quiz me for a question."

    def test_stop_ends_it_with_the_score(self, talk: Dialogue) -> None:
        """After 'stop' a name is a question again."""
        assert self.say(talk, "stop").say == "All right. The quiz is over."
        assert self.say(talk, "daiquiri").say.startswith("Daiquiri: two ounces white rum")

    def test_two_trainees_do_not_share_a_quiz(self, talk: Dialogue) -> None:
        """Another phone is not in this one's quiz."""
        assert talk.ask("daiquiri", "kitchen", "Bo").say.startswith("Daiquiri: two ounces white rum")


def every_question(book: Book) -> Iterator[Question]:
    """All that can be asked about every drink."""
    for drink in book.drinks.values():
        named = [pour.ingredient for pour in drink.pours]
        for kind in Kind:
            asked = named if kind in (Kind.AMOUNT, Kind.MISSING) else [""]
            questions = [Question(kind, drink.name, ingredient) for ingredient in asked]
            if kind is Kind.CHANGE:
                questions = [Question(kind, drink.name, other=other) for other in near(drink, book)]
            yield from (question for question in questions if still_asked(question, drink, book))


def test_the_right_answer_said_back_gets_all_points(book: Book) -> None:
    """Whatever is asked about whichever drink: who repeats what was told is right."""
    short = []
    questions = list(every_question(book))
    for asked in questions:
        said = right_answer(asked, book).partition(":")[0]
        marking = mark(asked, recited(said, asked, book), book)
        if marking.points != marking.out_of:
            short.append((asked, said))
    assert short == []
    assert len(questions) > 1000
    assert {asked.kind for asked in questions} == set(Kind)


class TestRules:
    """How answers are marked is no secret."""

    MARKED: ClassVar = {
        "the exact amount": (Kind.AMOUNT, "gin", "two ounces", 3),
        "within a jigger step": (Kind.AMOUNT, "gin", "two and a quarter ounces", 2),
        "the ingredient, another amount": (Kind.BUILD, "", "four ounces gin", 1),
        "left out": (Kind.BUILD, "", "orange bitters", 0),
        "named, and not in it": (Kind.BUILD, "", "two ounces gin and one ounce egg white", 3 - 1),
        "the family": (Kind.FAMILY, "", "a sour", 2),
        "method, glass, garnish, what is missing": (Kind.GLASS, "", "coupe", 1),
        "the drink's name, each change, each allergen": (Kind.NAME, "", "the gimlet", 1),
    }

    def test_they_stand_beside_the_first_question(self, book: Book) -> None:
        """Before anything is answered, each with its points."""
        card = quiz.quiz(Command(Intent.QUIZ, {"drink": "Gimlet"}), Scene(book, frozenset(), Focus())).reply.card
        assert card is not None
        table = card.blocks[-1]
        assert isinstance(table, Table)
        assert [row.label for row in table.rows] == list(self.MARKED)

    @pytest.mark.parametrize("rule", MARKED)
    def test_they_are_the_rules_that_mark(self, book: Book, rule: str) -> None:
        """What the card promises, an answer gets."""
        kind, ingredient, said, points = self.MARKED[rule]
        assert mark_of(answer(book, said, kind, "Gimlet", ingredient))[1] == points
