"""From what was heard to what was meant: other readings are tried, and faint hearing is asked about, not acted on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from assistant.filling import NEEDS_DRINK
from assistant.messages import Heard
from assistant.tonight import Matcher
from grammar.clean import phrase
from grammar.command import Ambiguous, Command, Intent, Meaning, NotUnderstood
from recipes.quiz import Kind, Question

# How sure is sure enough. Certainty is the recogniser's confidence times the matcher's; typed text is heard with 1.
NOISE = 0.1  # a recogniser less sure than this heard no words
SURE = 0.5  # less certain than this: 'Did you say ...?'
SURE_TO_CHANGE = 0.65  # the same, for what changes something
OTHER_READING = 0.8  # certainty left when the first reading made no sense and another did

OF_A_QUIZ = frozenset(
    {
        *(Intent.SKIP, Intent.SCORE, Intent.CANCEL, Intent.HELP, Intent.REPEAT, Intent.UNDO, Intent.QUIZ),
        *(Intent.INTRODUCE, Intent.LOCK, Intent.MUTE, Intent.UNMUTE),
    }
)
BESIDE_A_QUIZ = frozenset(
    {
        *(Intent.COST, Intent.PRICE_FOR_TARGET, Intent.WHAT_IF_PRICE, Intent.SET_PRICE),
        *(Intent.BATCH, Intent.PREP, Intent.BALANCE, Intent.RIFF, Intent.COMPARE, Intent.TRAIL),
        *(Intent.RANK, Intent.LIST),
        *(Intent.SUBSTITUTE, Intent.OUT_OF, Intent.BACK_IN, Intent.CAN_MAKE, Intent.CONTAINS, Intent.ON_HAND),
        *(Intent.PAR, Intent.SET_PAR),
    }
)  # no answers to a quiz question: done, and then back to the question; all else that is said is an answer to it
ANSWERS_TO = {
    Kind.CHANGE: frozenset({Intent.RIFF, Intent.SUBSTITUTE, Intent.OUT_OF, Intent.BACK_IN}),  # 'rye instead of gin'
    Kind.ALLERGENS: frozenset({Intent.CONTAINS}),
}  # of those beside a quiz, what answers such a question unless it names another drink
CURRENCY = frozenset({"dollar", "dollars", "buck", "bucks", "euro", "euros", "pound", "pounds", "cent", "cents"})
CHANGES = frozenset({Intent.SET_PRICE, Intent.OUT_OF, Intent.BACK_IN, Intent.COUNTED, Intent.SET_PAR, Intent.UNDO})


@dataclass(frozen=True)
class Faint:
    """A command that is likely, but not certain enough to act on; `other` is what another reading means."""

    text: str
    command: Command
    other: Command | None = None


@dataclass(frozen=True)
class Reading:
    """What was meant, and the words it was read from: the first reading, or another that made sense."""

    text: str
    meaning: Meaning | Faint


@dataclass(frozen=True)
class QuizEar:
    """A matcher while a quiz question is open: what is no clear command is an answer, to be marked as it was said."""

    matcher: Matcher
    asked: Question
    talked_of: str | None = None  # the drink that a command without one is about

    def understand(self, text: str) -> Meaning:
        """The command that the text is word for word, or an answer."""
        meaning = self.matcher.understand(text)
        if isinstance(meaning, Command) and meaning.how == "exact":
            if meaning.intent in OF_A_QUIZ or (meaning.intent in BESIDE_A_QUIZ and not self._answers(meaning, text)):
                return meaning
            if meaning.intent is Intent.NEXT_STEP:
                return replace(meaning, intent=Intent.SKIP)
        return Command(Intent.ANSWER, {"text": text})

    def _answers(self, command: Command, text: str) -> bool:
        """Whether a command may be meant for an answer ('gin is two'), or would give the answer away."""
        if command.intent is Intent.SET_PRICE:
            return not CURRENCY & set(phrase(text))
        drinks = {command.slots[slot] for slot in ("drink", "drink_2") if slot in command.slots}
        if command.intent in ANSWERS_TO.get(self.asked.kind, ()):
            return drinks <= {self.asked.drink, self.asked.other}
        if not drinks and command.intent in NEEDS_DRINK:
            drinks = {self.talked_of or ""}
        return self.asked.drink in drinks


@dataclass(frozen=True)
class OpenEar:
    """A matcher while no quiz question is open: only what is an answer and nothing else is taken for one."""

    matcher: Matcher

    def understand(self, text: str) -> Meaning:
        """What was meant; an answer is the last thing it can be."""
        meaning = self.matcher.understand(text)
        if isinstance(meaning, Ambiguous):
            rest = tuple(choice for choice in meaning.choices if choice.intent is not Intent.ANSWER)
            return replace(meaning, choices=rest) if len(rest) > 1 else next(iter(rest), NotUnderstood(text))
        if isinstance(meaning, Command) and meaning.intent is Intent.ANSWER and meaning.slots.get("text") != text:
            return NotUnderstood(text)
        return meaning


def read(heard: Heard, matcher: Matcher) -> Reading | None:
    """What was meant; None when nothing was heard."""
    if not heard.text.strip() or heard.confidence < NOISE:
        return None
    first = matcher.understand(heard.text)
    if isinstance(first, Command):
        return Reading(heard.text, _weighed(heard.text, first, heard, matcher))
    if isinstance(first, Ambiguous):
        return Reading(heard.text, first)
    for text in heard.alternatives:
        meaning = matcher.understand(text)
        if isinstance(meaning, Command):
            less = replace(meaning, confidence=meaning.confidence * OTHER_READING)
            return Reading(text, _weighed(text, less, heard, matcher))
    return Reading(heard.text, first)


def _weighed(text: str, command: Command, heard: Heard, matcher: Matcher) -> Command | Faint:
    certainty = heard.confidence * command.confidence
    if certainty >= (SURE_TO_CHANGE if command.intent in CHANGES else SURE):
        return command
    return Faint(text, command, _other(command, heard, matcher))


def _other(command: Command, heard: Heard, matcher: Matcher) -> Command | None:
    """The first other reading that means something else."""
    for text in heard.alternatives:
        meaning = matcher.understand(text)
        if isinstance(meaning, Command) and (meaning.intent, meaning.slots) != (command.intent, command.slots):
            return meaning
    return None
