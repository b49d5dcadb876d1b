"""The talk: what was heard becomes a command, its gaps are filled, its answer is found, its change is remembered.

One road for every utterance: read (what was meant), settle (does it answer our question?), fill (what is it about?),
answer (a handler), remember (its change). A step that cannot go on says so in a reply, and the road ends there.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from assistant.answers import people, pins, talk
from assistant.answers.base import Answer, Change, Handler, Introduced, Scene
from assistant.answers.quiz_round import back_to, can_go_on, ended, open_round, stopped, without_mark
from assistant.answers.quiz_words import put
from assistant.answers.trail import LOOKED_AT, changes_told, one_trail
from assistant.asking import Pending, Unsettled, kind_of, settled, with_slot
from assistant.conversation import Conversation, Conversations
from assistant.errors import AlreadyUndone, MemoryFailed
from assistant.filling import Gap, filled, in_book, turned
from assistant.follow_ups import FollowUpEar, takes_back
from assistant.handlers import HANDLERS
from assistant.memory import Clock, Entry, Memory, utc_now
from assistant.messages import Choice, Heard, Reply
from assistant.newcomers import as_known, named_in
from assistant.reading import BESIDE_A_QUIZ, CHANGES, Faint, OpenEar, QuizEar, Reading, read
from assistant.rights import Rights
from assistant.tonight import Tonight, TonightNow
from grammar.command import Ambiguous, Command, Intent, NotUnderstood

log = logging.getLogger(__name__)

OWN = frozenset(
    {
        *(Intent.REPEAT, Intent.UNDO, Intent.CANCEL, Intent.HELP, Intent.YES, Intent.NO),
        *(Intent.INTRODUCE, Intent.TRAIL, Intent.LOCK, Intent.MUTE, Intent.UNMUTE),
    }
)  # answered here
MARKED = frozenset({Intent.QUIZ, Intent.ANSWER, Intent.SKIP, Intent.SCORE})  # their answers look at earlier marks


@dataclass(frozen=True)
class Turn:
    """One utterance on its road: where it is said, by whom, and what is known tonight."""

    talk: Conversation
    tonight: Tonight
    who: str
    rights: Rights


class Dialogue:
    """Answers in any number of conversations at once; each keeps its own focus. Safe to use from several threads."""

    def __init__(
        self,
        tonight: TonightNow,
        memory: Memory,
        clock: Clock = utc_now,
        handlers: Mapping[Intent, Handler] = HANDLERS,
        edited: Callable[[], Iterable[Entry]] = lambda: (),
    ) -> None:
        """`edited` reads what was changed in the book's files; it may raise OSError."""
        self._tonight = tonight
        self._memory = memory
        self._clock = clock
        self._handlers = handlers
        self._edited = edited
        self._conversations = Conversations()

    def ask(self, heard: Heard | str, conversation: str, who: str = "", is_manager: bool = False) -> Reply:
        """Answer one utterance.

        `who` is the person whose changes and quiz marks these are; without one it is whoever said so before in the
        conversation, or the conversation itself. `is_manager`: the PIN was typed on this device.
        """
        heard = Heard(heard) if isinstance(heard, str) else heard
        tonight = self._tonight()
        with self._conversations.held(conversation, self._clock()) as held:
            held.focus = in_book(held.focus, tonight.book)
            self._meet(held, who, tonight)
            rights = Rights(is_manager, tonight.has_pin, tonight.book.house.pin_also_for)
            turn = Turn(held, tonight, held.who or conversation, rights)
            reply = self._reply(heard, turn)
            if (reply.understood or reply.asks) and not reply.voice:  # 'say that again' is about what came before
                held.last, held.last_by_manager = reply, is_manager
            return _with_news(replace(reply, heard=heard, who=held.who), turn)

    def is_asking(self, conversation: str) -> bool:
        """Whether a question of the quiz is open there."""
        with self._conversations.held(conversation, self._clock()) as held:
            return open_round(held.focus) is not None

    def _meet(self, held: Conversation, name: str, tonight: Tonight) -> str:
        """Note who speaks from now on; what is said of a quiz that somebody else leaves open."""
        name = as_known(name, tonight.people)
        if not name or name == held.who:
            return ""
        if name not in tonight.people:
            try:
                self._memory.apply(Introduced(name), name)
            except MemoryFailed:
                log.exception("a name was not remembered")
        over = stopped(held.focus)
        held.who, held.focus, held.pending = name, ended(held.focus), None
        return over

    # Read and settle

    def _reply(self, heard: Heard, turn: Turn) -> Reply:
        """Settle an open question of ours, or do what is newly asked, or ask back."""
        pending = turn.talk.pending
        reading, command = _read(heard, turn)
        if reading is None:
            return talk.nothing_heard()
        if isinstance(reading.meaning, Command) and reading.meaning.intent is Intent.REPEAT:
            return self._said_again(reading.meaning, turn)
        if pending is not None and command is Unsettled.WHICH:
            return talk.which_one(pending.question)
        turn.talk.pending = None
        if isinstance(command, Command):
            return talk.not_that() if command.intent is Intent.NO else self._do(command, turn)
        if not isinstance(reading.meaning, Command):
            return self._asked_back(reading.meaning, pending, turn)
        reply = self._newly_asked(reading.meaning, reading.text, turn)
        is_no_answer = reading.meaning.intent is Intent.ANSWER and not reply.understood
        return (_is_it_a_name(reading.text, turn) if is_no_answer else None) or reply

    def _asked_back(self, meaning: Faint | Ambiguous | NotUnderstood, pending: Pending | None, turn: Turn) -> Reply:
        """The question, or the offer, for what is not clear."""
        tonight = turn.tonight
        if isinstance(meaning, Faint):
            return _pose(talk.did_you_say(meaning.text, meaning.command, meaning.other, tonight.book), turn)
        if isinstance(meaning, Ambiguous):
            return _pose(talk.which_meant(_for(pending, meaning), tonight.book), turn)
        asked = _is_it_a_name(meaning.text, turn)
        if asked is not None:
            return asked
        if meaning.unknown:
            return _pose(talk.not_in_book(meaning, _nearest(meaning, pending, tonight)), turn)
        turn.talk.pending = pending
        return talk.not_understood(tonight.examples)

    # Fill, answer, remember

    def _newly_asked(self, command: Command, text: str, turn: Turn) -> Reply:
        """What is asked, done; 'no, I meant lemon' first takes back what it puts right."""
        asked = turn.talk.asked
        if not (_changed(turn) and asked is not None and asked.intent is command.intent and takes_back(text)):
            return self._do(command, turn)
        left = len(turn.talk.changes)
        taken_back = self._last_taken_back(turn)
        if len(turn.talk.changes) == left:
            return taken_back
        reply = self._do(command, replace(turn, tonight=self._tonight()))
        return replace(reply, say=f"{taken_back.say} {reply.say}")

    def _do(self, command: Command, turn: Turn) -> Reply:
        if not turn.rights.may_ask(command):
            return replace(pins.needed(turn.rights.has_pin), command=command)
        if command.intent in OWN:
            return replace(self._own(command, turn), command=command)
        full = filled(command, turn.talk.focus)
        if isinstance(full, Gap):
            reply = talk.missing(full.slot, full.command, turn.tonight.book)
            return replace(_pose(reply, turn, full.command, full.slot), command=full.command)
        turn.talk.asked = command
        reply = replace(self._answered(full, turn), command=full)
        return _back_to_the_quiz(reply, turn) if full.intent in BESIDE_A_QUIZ else reply

    def _answered(self, command: Command, turn: Turn) -> Reply:
        handler = self._handlers.get(command.intent)
        if handler is None:
            return talk.cannot_yet(command, turn.tonight.book)
        try:
            answer = handler(command, self._scene(command, turn))
        except MemoryFailed:
            log.exception("the memory cannot be read for %s", command.intent.value)
            return talk.not_read()
        except Exception:  # whatever went wrong inside, the person at the bar gets a sentence
            log.exception("no answer for %s", command.intent.value)
            return talk.went_wrong(command, turn.tonight.book)
        return self._remembered(answer, turn)

    def _scene(self, command: Command, turn: Turn) -> Scene:
        now = turn.tonight
        scene = Scene(now.book, now.out, turned(turn.talk.focus, command), turn.who, self._clock())
        scene = replace(scene, sold=now.sold, on_hand=now.counted, pars=now.pars)
        scene = replace(scene, costs_shown=turn.rights.sees_costs)
        if command.intent in MARKED:
            scene = replace(scene, marks=self._memory.marks(str(command.slots.get("person", turn.who))))
        return replace(scene, tests=self._memory.tests()) if command.intent is Intent.SCORE else scene

    def _remembered(self, answer: Answer, turn: Turn) -> Reply:
        """The reply of an answer, its change made and its focus kept; neither, when the change cannot be made."""
        reply = answer.reply
        if not turn.rights.may_make(answer):
            return pins.needed(turn.rights.has_pin)
        if answer.change is not None:
            try:
                token = self._kept((answer.change, *answer.also), turn.who)
            except MemoryFailed as error:
                foreseen = type(error) is not MemoryFailed
                told = type(answer.change).__name__, type(error).__name__
                log.error("a %s was not remembered: %s", *told, exc_info=not foreseen)
                return talk.not_remembered(error)
            if not answer.lasting:
                turn.talk.changes.append(token)
                reply = replace(reply, undo=token)
        turn.talk.focus = answer.focus
        return _pose(reply, turn)

    def _kept(self, changes: tuple[Change, ...], who: str) -> str:
        first, *more = changes
        return self._memory.apply_together(changes, who) if more else self._memory.apply(first, who)

    # What the dialogue answers itself

    def _own(self, command: Command, turn: Turn) -> Reply:
        match command.intent:
            case Intent.UNDO:
                return self._last_taken_back(turn)
            case Intent.CANCEL:
                quiz_over = stopped(turn.talk.focus)
                turn.talk.focus = replace(turn.talk.focus, extra={}, step=None)
                return talk.cancelled(quiz_over, can_undo=bool(turn.talk.changes))
            case Intent.HELP:
                return talk.help_on(turn.tonight.examples)
            case Intent.YES:
                return talk.yes_to_what()
            case Intent.INTRODUCE:
                over = self._meet(turn.talk, str(command.slots["person"]), turn.tonight)
                return people.hello(turn.talk.who, over)
            case Intent.LOCK:
                return pins.locked()
            case Intent.MUTE | Intent.UNMUTE:
                return talk.voice_switched(command.intent is Intent.UNMUTE)
            case Intent.TRAIL:
                return self._trail_told(str(command.slots.get("ingredient", "")))
        return talk.nothing_open()

    def _trail_told(self, of: str) -> Reply:
        try:
            return changes_told(one_trail(self._memory.trail(LOOKED_AT), self._edited()), self._clock(), of)
        except (MemoryFailed, OSError):
            log.exception("the trail cannot be read")
            return talk.not_read()

    def _said_again(self, command: Command, turn: Turn) -> Reply:
        """The last reply; 'slower' says it slowly, and in a quiz the question alone."""
        last = turn.talk.last
        if turn.talk.last_by_manager and not turn.rights.sees_costs:
            return pins.needed(turn.rights.has_pin)
        if last is None:
            return talk.nothing_to_repeat()
        slow = command.slots.get("text") == talk.SLOWLY
        going = can_go_on(turn.talk.focus, turn.tonight.book)
        say = put(going.asked, turn.tonight.book) if slow and going and last.asks is None else last.say
        return replace(last, say=say, undo=None, slow=slow)

    def _last_taken_back(self, turn: Turn) -> Reply:
        """The last change of this conversation undone; one that cannot be undone just now stays the last."""
        changes = turn.talk.changes
        if not changes:
            return talk.nothing_to_undo()
        try:
            if not all(map(turn.rights.may_undo, self._memory.kinds(changes[-1]))):
                return pins.needed(turn.rights.has_pin)
            entry = self._memory.undo(changes[-1], turn.who)
        except AlreadyUndone as refused:
            changes.pop()
            return talk.not_undone(refused)
        except MemoryFailed as refused:
            log.info("not undone: %s", type(refused).__name__)
            return talk.not_undone(refused)
        changes.pop()
        turn.talk.focus = without_mark(turn.talk.focus, entry)
        return talk.undone(entry, turn.tonight.book.house)


def _read(heard: Heard, turn: Turn) -> tuple[Reading | None, Command | Unsettled | None]:
    """What was meant, and what it settles of our own question; in a quiz all that settles nothing may be an answer."""
    now, held = turn.tonight, turn.talk
    going = open_round(held.focus)
    if going is None:
        asked = held.asked if held.pending is None else None
        reading = read(heard, FollowUpEar(OpenEar(now.matcher), held.focus, now.book, asked, _changed(turn)))
        return reading, _settled(held.pending, reading)
    if held.pending is not None:
        reading = read(heard, now.matcher)
        command = _settled(held.pending, reading)
        if command is not None:
            return reading, command
    return read(heard, QuizEar(now.matcher, going.asked, held.focus.drink)), None


def _is_it_a_name(text: str, turn: Turn) -> Reply | None:
    """The question whether that is somebody's name, for words that mean nothing else; None where they give none."""
    name = named_in(text)
    return None if name is None else _pose(people.is_it_you(as_known(name, turn.tonight.people)), turn)


def _changed(turn: Turn) -> bool:
    """Whether the last reply reported a change."""
    return turn.talk.last is not None and turn.talk.last.undo is not None


def _back_to_the_quiz(reply: Reply, turn: Turn) -> Reply:
    """The reply to what was asked beside a quiz, and the quiz question again; not while the reply itself asks."""
    going = can_go_on(turn.talk.focus, turn.tonight.book)
    if going is None or reply.asks is not None:
        return reply
    return replace(reply, say=f"{reply.say} {back_to(going, turn.tonight.book)}")


def _settled(pending: Pending | None, reading: Reading | None) -> Command | Unsettled | None:
    """What the reading settles of our own question; a faint one settles nothing that would change something."""
    if pending is None or reading is None:
        return None
    if not isinstance(reading.meaning, Faint):
        return settled(pending, reading.text, reading.meaning)
    command = settled(pending, reading.text, reading.meaning.command)
    return None if isinstance(command, Command) and command.intent in CHANGES else command


def _for(pending: Pending | None, ambiguous: Ambiguous) -> Ambiguous:
    """The choices as answers to our question, where they are names for the gap it asked about."""
    if pending is None or pending.wants is None or ambiguous.differs != kind_of(pending.slot):
        return ambiguous
    choices = tuple(with_slot(pending.wants, pending.slot, choice) for choice in ambiguous.choices)
    return replace(ambiguous, choices=choices)


def _nearest(miss: NotUnderstood, pending: Pending | None, tonight: Tonight) -> list[Choice]:
    """The nearest names of the book, each with what would be done for it."""
    offers = [(name, _instead(name, miss, pending, tonight)) for name in miss.near[: talk.NEAREST_OFFERED]]
    return [Choice(name, command) for name, command in offers if command is not None]


def _instead(name: str, miss: NotUnderstood, pending: Pending | None, tonight: Tonight) -> Command | None:
    """The same question with a name of the book in place of the unknown one."""
    if pending is not None and pending.wants is not None and kind_of(pending.slot) == miss.kind:
        return replace(pending.wants, slots={**pending.wants.slots, pending.slot: name})
    said = re.sub(re.escape(miss.unknown), lambda _: name, miss.text, count=1, flags=re.IGNORECASE)
    meaning = tonight.matcher.understand(said)
    if isinstance(meaning, Command) and name in meaning.slots.values():
        return meaning
    return Command(Intent.SPEC, {"drink": name}) if miss.kind == "drink" else None


def _pose(reply: Reply, turn: Turn, wants: Command | None = None, slot: str = "") -> Reply:
    """The reply; its question, if it has one, now waits for an answer."""
    turn.talk.pending = Pending(reply.asks, wants, slot) if reply.asks else None
    return reply


def _with_news(reply: Reply, turn: Turn) -> Reply:
    """The reply with the troubles of tonight's book that this conversation was not told of."""
    now = turn.tonight.troubles
    news = [trouble for trouble in now if trouble not in turn.talk.told]
    turn.talk.told = frozenset(now)
    say = " ".join((*talk.troubles_said(news), reply.say))
    return replace(reply, say=say, cautions=(*reply.cautions, *talk.troubles_told(news)))
