"""What is said about the talk itself: questions back, misses, undo, cancel, help, and when something went wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from assistant.answers.asked import as_asked, the, word
from assistant.answers.on_hand import measure_said
from assistant.answers.speech import capital, counted, joined, money, plural
from assistant.errors import (
    AlreadyUndone,
    ChangedSince,
    Damaged,
    DiskFull,
    MemoryFailed,
    NameTaken,
    ReadOnly,
    UnknownChange,
)
from assistant.kept import read_size
from assistant.memory import Entry
from assistant.messages import Card, Choice, Question, Reply, Row, Table
from assistant.tonight import Trouble
from grammar.command import Ambiguous, Command, Intent, NotUnderstood
from recipes.model import Book, House
from recipes.units import quantity

SLOWLY = "slowly"  # the slot 'text' of a repeat that is to be spoken slowly
OFFER = "Ask me for a spec, an amount, a batch, a cost, a riff, or a quiz."
MOST_OFFERED = 3  # a voice offers no more choices than this
NEAREST_OFFERED = 2
VOICE_OFF = "Voice off. Say voice on to hear me again."

TOPICS = {  # the help card: a topic, and what can be asked in it
    "A drink": (Intent.SPEC, Intent.AMOUNT, Intent.BUILD, Intent.NEXT_STEP, Intent.TASTE),
    "More of it": (Intent.SCALE, Intent.ORDER, Intent.BATCH, Intent.UNITS, Intent.WITHOUT),
    "Money": (Intent.COST, Intent.PRICE_FOR_TARGET, Intent.WHAT_IF_PRICE, Intent.SET_PRICE),
    "How it is built": (Intent.BALANCE, Intent.FAMILY, Intent.RIFF, Intent.COMPARE),
    "The whole menu": (Intent.RANK, Intent.LIST),
    "What is in": (Intent.OUT_OF, Intent.BACK_IN, Intent.SUBSTITUTE, Intent.CAN_MAKE),
    "Before service": (Intent.PREP, Intent.COUNTED, Intent.ON_HAND, Intent.SET_PAR, Intent.PAR),
    "For a guest": (Intent.CONTAINS,),
    "Training": (Intent.QUIZ, Intent.SKIP, Intent.SCORE),
    "The house": (Intent.INTRODUCE, Intent.TRAIL, Intent.LOCK),
    "Any time": (Intent.REPEAT, Intent.UNDO, Intent.CANCEL, Intent.MUTE, Intent.UNMUTE, Intent.HELP),
}


# Misses


def nothing_heard() -> Reply:
    """No words at all, or only noise."""
    return Reply("I did not catch that. Say it again, a little closer.", understood=False)


def did_you_say(text: str, command: Command, other: Command | None, book: Book) -> Reply:
    """Words that were heard too faintly to act on; `other` is what another reading of them means."""
    yes = Choice("Yes", command)
    if other is None:
        return _asking(f'Did you say, "{text}"?', (yes, Choice("No", Command(Intent.NO))))
    choices = tuple(Choice(as_asked(each, book), each) for each in (command, other))
    if choices[0].label == choices[1].label:
        return did_you_say(text, command, None, book)
    return _asking(f"Did you mean {joined([c.label for c in choices], 'or')}?", choices)


def which_meant(ambiguous: Ambiguous, book: Book) -> Reply:
    """Two or three commands that are about as likely."""
    labelled: dict[str, Command] = {}
    for choice in ambiguous.choices[:MOST_OFFERED]:
        labelled.setdefault(_label(choice, ambiguous, book), choice)
    choices = tuple(Choice(label, command) for label, command in labelled.items())
    named = [the(label) if ambiguous.differs.startswith("drink") else label for label in labelled]
    return _asking(f"Did you mean {joined(named, 'or')}?", choices)


def which_one(question: Question) -> Reply:
    """'Yes' to a question that was this or that."""
    labels = [choice.label for choice in question.choices]
    return _asking(f"Which one: {joined(labels, 'or')}?" if labels else question.text, question.choices)


def missing(slot: str, command: Command, book: Book) -> Reply:
    """A command that lacks a name, and nothing was talked of that could fill it."""
    what = "ingredient" if slot.startswith("ingredient") else "drink"
    wanted = as_asked(command, book)
    get = "tell you" if wanted.startswith(("what", "which", "whether", "how")) else "get"
    text = f"Which {what}? Name it, and I will {get} {wanted}."
    if command.slots.get("text") == "other":
        text = "There is no other drink yet. Which one?"
    return Reply(text, asks=Question(text, ()), understood=True)


def not_in_book(miss: NotUnderstood, choices: Sequence[Choice]) -> Reply:
    """A name that the book does not have; the nearest are offered as a question, never given as an answer."""
    if not choices:
        return Reply(f"I have no {miss.unknown} in the book. {OFFER}", understood=False)
    near = joined([choice.label for choice in choices], "or")
    ask = "Is that the one?" if len(choices) == 1 else "Which one?"
    return _asking(f"I have no {miss.unknown} in the book. The nearest I have is {near}. {ask}", tuple(choices))


def not_understood(examples: Mapping[Intent, tuple[str, ...]]) -> Reply:
    """Words that mean nothing to the grammar."""
    example = next(iter(examples.get(Intent.SPEC, ())), "")
    hint = f' For example: "{example}".' if example else ""
    return Reply(f"I did not understand that. {OFFER}{hint}", understood=False)


# Yes, no, cancel, repeat, help


def yes_to_what() -> Reply:
    """'Yes' with no question open."""
    return Reply(f"There is no question open. {OFFER}")


def not_that() -> Reply:
    """'No' to a question."""
    return Reply("All right, not that. Say it in other words, or ask for something else.")


def nothing_open() -> Reply:
    """'No' with no question open."""
    return Reply("All right.")


def cancelled(quiz_over: str, can_undo: bool) -> Reply:
    """Whatever was going on is dropped; nothing that was changed is undone. Short: it was asked to stop."""
    if quiz_over:
        return Reply(f"All right. {quiz_over}")
    stays = " What was changed stays changed; say undo to take it back." if can_undo else ""
    return Reply(f"All right, dropped.{stays}")


def voice_switched(is_on: bool) -> Reply:
    """'Be quiet', 'voice on'."""
    return Reply("Voice on.", voice="on") if is_on else Reply(VOICE_OFF, voice="off")


def nothing_to_repeat() -> Reply:
    """'Say that again' before anything was said."""
    return Reply(f"I have not said anything yet. {OFFER}")


def help_on(examples: Mapping[Intent, tuple[str, ...]]) -> Reply:
    """What can be asked, with an example of each; the card has them all."""
    rows = tuple(
        Row(topic, (example,))
        for topic, intents in TOPICS.items()
        for example in (examples[intent][0] for intent in intents if examples.get(intent))
    )
    card = Card("help", "What you can say", blocks=(Table(rows, ("About", "Say")),) if rows else ())
    return Reply(f"{OFFER} Say undo to take a change back. The card has an example of each.", card)


# Undo


def undone(entry: Entry, house: House) -> Reply:
    """What a change that was taken back has left."""
    return Reply(f"Undone. {_as_it_is_now(entry, house)}")


def nothing_to_undo() -> Reply:
    """No change of this conversation is left."""
    return Reply("There is nothing more to undo in this conversation.")


def not_undone(error: MemoryFailed) -> Reply:
    """Why a change was not taken back."""
    match error:
        case AlreadyUndone():
            return Reply("That was undone already. Nothing more was changed.")
        case ChangedSince():
            return Reply(f"{capital(error.name)} was changed again after that. Undo the later change first.")
        case UnknownChange():
            return Reply("I know of no such change, so nothing was undone.")
    return not_remembered(error)


def _as_it_is_now(entry: Entry, house: House) -> str:
    there = entry.after is not None
    match entry.kind:
        case "out":
            return f"{capital(entry.name)} is {'out' if there else 'in'} again."
        case "price":
            if entry.after is None:
                return f"{capital(entry.name)} is back at the price in the book."
            price = money(quantity(Decimal(entry.after["price"]), "money"), house.currency)
            return f"A pack of {entry.name} costs {price} again."
        case "drink":
            return f"{capital(the(entry.name))} is {'back in' if there else 'out of'} the book."
        case "par":
            if entry.after is None:
                return f"The par for {entry.name} is the book's again, if it has one."
            return f"The par for {entry.name} is {measure_said(read_size(str(entry.after['par'])))} again."
        case "counted":
            if there:
                return f"The count of {entry.name} from before stands again."
            return f"No count of {entry.name} stands any longer."
        case "together":
            made = int(entry.name)
            return f"{capital(counted(made, 'change'))}, made together, {'is' if made == 1 else 'are'} taken back."
        case "person":
            return f"{entry.name} is {'known' if there else 'not known'} by name again."
        case "test":
            return f"That floor test {'counts again' if there else 'does not count'}."
    return "That mark counts again." if there else "That mark does not count."


# Trouble

_MENDED_ALOUD = "My notes were damaged, so I work from the last backup. What was changed after it is lost."


def not_remembered(error: MemoryFailed) -> Reply:
    """The database did not take a change."""
    kept_none = "I could not write that down, so nothing has changed."
    match error:
        case DiskFull():
            return Reply(f"The disk is full. {kept_none} Make room on it, then say it again.")
        case ReadOnly():
            return Reply(f"My notes may only be read, not changed. {kept_none} Have somebody run the doctor command.")
        case Damaged():
            return Reply(f"My notes are damaged. {kept_none} Start me again, and I take the last backup.")
        case NameTaken():
            return Reply(f"Somebody has just kept another {error.name}, so yours is not kept. Call it something else.")
    return Reply(f"{kept_none} Say it again in a moment.")


def not_read() -> Reply:
    """The database could not be read for an answer that needs it."""
    return Reply("I could not read my notes, so I cannot answer that now. Ask me again in a moment.")


def cannot_yet(command: Command, book: Book) -> Reply:
    """Understood, but no answer is made for it."""
    return Reply(f"I took it that you meant {as_asked(command, book)}, but I cannot do that. {OFFER}")


def went_wrong(command: Command, book: Book) -> Reply:
    """The engine failed on a question; the log has the cause."""
    return Reply(
        f"I took it that you meant {as_asked(command, book)}, but working it out went wrong. "
        "Nothing has changed. Ask for something else, and have somebody look at the log."
    )


def troubles_told(troubles: Sequence[Trouble]) -> tuple[str, ...]:
    """Why tonight's book is not quite what people think it is, a sentence each."""
    return tuple(_trouble_told(trouble) for trouble in troubles)


def troubles_said(troubles: Sequence[Trouble]) -> tuple[str, ...]:
    """Those troubles that are told aloud as well, for nobody may look at a screen: a sentence or two each."""
    return tuple(_MENDED_ALOUD for trouble in troubles if trouble.kind == "mended")


def _trouble_told(trouble: Trouble) -> str:
    match trouble.kind:
        case "files":
            first = trouble.faults[0]
            more = f" and {len(trouble.faults) - 1} more" if len(trouble.faults) > 1 else ""
            return f"The last edit of the book cannot be read, so the book from before it is used: {first}{more}."
        case "memory":
            return "The memory cannot be read: what is out and tonight's prices may be missing."
        case "mended":
            at, aside = trouble.names
            return f"The memory is that of the backup made {at}; the damaged file is kept as {aside}."
        case "drinks":
            return f"Kept, but no longer fitting the book, so left out: {joined(trouble.names)}."
    return f"Prices for what the book no longer buys, so left out: {joined(trouble.names)}."


def _label(choice: Command, ambiguous: Ambiguous, book: Book) -> str:
    """What tells a choice from the others, in a few words."""
    slot, value = ambiguous.differs, choice.slots.get(ambiguous.differs)
    if value is None or any(slot not in other.slots for other in ambiguous.choices):
        return as_asked(choice, book)
    if slot == "family" and value in book.families:
        return plural(book.families[str(value)].title)
    return str(value) if slot.startswith("drink") else word(slot, value, book)


def _asking(text: str, choices: tuple[Choice, ...]) -> Reply:
    return Reply(text, asks=Question(text, choices), understood=False)
