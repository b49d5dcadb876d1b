"""From text to what was meant: exactly if a phrase fits, else by what is nearest, else not at all.

The order, cheap before costly: 1. clean the text; 2. the exact parse; 3. that of a text in which somebody put himself
right; 4. the exact parse with slips mended, and names taken from what is spelled or sounds like them; 5. the same of
the end of the text, what is said before it set aside; 6. templates, where small words and order may differ; 7. the
parse with unknown words taken for a name, only to say which name the book lacks. Whatever is as likely as the best is
asked about.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from grammar import phrasebook, repairs
from grammar.clean import Said, words
from grammar.command import Ambiguous, Command, Intent, Meaning, NotUnderstood
from grammar.exact import Edges, Mark
from grammar.names import Names
from grammar.openings import ASKING, Openings, is_told
from grammar.pieces import MOST_RIVALS, Cutter, Text
from grammar.slots import command
from grammar.sounds import Voice
from grammar.strangers import Strangers
from grammar.templates import CONTENT, RANKED, WORD, Match

# How sure is sure enough. Costs are those of templates.py and pieces.py: 0 is word for word.
ACCEPT = 0.48  # a command that costs more is not given
ACCEPT_SOFT = 0.25  # the same, where only soft words say what is asked
ACCEPT_CHANGE = 0.2  # the same, for a command that changes what the bar remembers
SET_ASIDE = 0.15  # what it costs that talk before a phrase is set aside
LEAD = 0.06  # a command that costs less than this more than the best is as likely
LONGEST_TITLE = 6  # words of a new drink's name
ACCEPT_SLIP = 0.32  # the same, for a slip in a command that is nothing but words
ACCEPT_WORDS = 0.3  # the same, for a command without a name or a number
CHANGES = frozenset({Intent.OUT_OF, Intent.BACK_IN, Intent.COUNTED, Intent.SET_PAR, Intent.SET_PRICE, Intent.UNDO})

WHICH = frozenset({"which", "what", "what's"})  # words that begin a question which drink,
MANY = frozenset({"drinks", "cocktails"})  # and that ask about more than the one talked of
ABOUT_A_NAME = (Intent.SPEC, Intent.BUILD, Intent.COST)  # what is offered where a drink is named, and no more is clear
BY_ITSELF = {"names.drink": Intent.SPEC, "names.family": Intent.FAMILY}


@dataclass(frozen=True)
class _Candidate:
    """A command, and what it costs to believe it."""

    command: Command
    cost: float

    @property
    def is_cheap(self) -> bool:
        """Whether it may be given at that cost."""
        return self.cost <= (ACCEPT_CHANGE if self.command.intent in CHANGES else ACCEPT)


class Matcher:
    """Understands texts about one book. Keeps nothing from one text to the next."""

    def __init__(self, names: Names, pronounce: Mapping[str, str] | None = None) -> None:
        """With `pronounce` (word -> phones parted by spaces), known words sound as a dictionary says."""
        voice = Voice(pronounce)
        self._book = phrasebook.load(names)
        self._cutter = Cutter(self._book, voice)
        self._around = self._book.lexicon.listed("common.around")
        self._noise = self._book.lexicon.listed("common.noise")
        self._templates = phrasebook.templates()
        self._openings = Openings(self._book)
        self._strangers = Strangers(self._book, self._templates, voice)

    def understand(self, text: str) -> Meaning:
        """What a text means: a command, a choice between commands, or nothing understood."""
        said = [one for one in words(text) if one.word not in self._noise]
        if not said:
            return NotUnderstood(text)
        spoken = [one.word for one in said]
        meaning = self._exact(text, said, spoken) or self._put_right(text, said, spoken)
        if meaning is not None:
            return meaning
        cut = self._cutter.cut(spoken)
        return (
            _decided(text, self._mended(text, said, cut))
            or _decided(text, self._opened(text, said, cut))
            or _decided(text, self._templated(text, said, cut))
            or self._unknown(text, said, cut)
            or _named(text, said, cut)
            or NotUnderstood(text)
        )

    def _exact(self, text: str, said: Sequence[Said], spoken: Sequence[str]) -> Meaning | None:
        heard = [frozenset({word}) for word in spoken]
        readings = self._book.parser.sentences(phrasebook.TEXT, heard, self._edges(spoken))
        best = [reading for reading in readings if reading.weight == readings[0].weight]
        return _decided(text, [_Candidate(command(text, said, reading.marks), 0.0) for reading in best])

    def _put_right(self, text: str, said: Sequence[Said], spoken: Sequence[str]) -> Meaning | None:
        """What a text means without what its speaker took back in it."""
        for start, end in repairs.put_right(spoken, lambda at: self._names_or_counts(spoken, at)):
            rest = (*said[:start], *said[end:])
            meaning = self._exact(text, rest, [one.word for one in rest])
            if meaning is not None:
                return meaning
        return None

    def _names_or_counts(self, spoken: Sequence[str], at: int) -> bool:
        numbers = self._book.lexicon.numbers
        return spoken[at] in numbers or any(True for _ in self._book.wordings.at(spoken, at))

    def _edges(self, spoken: Sequence[str]) -> Edges:
        """The names as they stand in the text, and what may be a new name."""
        edges: dict[tuple[str, int], list[tuple[int, str | None]]] = {}
        for at in range(len(spoken)):
            edges[phrasebook.TITLE, at] = [
                (end, None) for end in range(at + 1, min(at + LONGEST_TITLE, len(spoken)) + 1)
            ]
            for wording in self._book.wordings.at(spoken, at):
                for rule in phrasebook.rules_of(wording.kind):
                    edges.setdefault((rule, at), []).append((at + len(wording.words), wording.canonical))
        return edges

    def _mended(self, text: str, said: Sequence[Said], cut: Text) -> Iterator[_Candidate]:
        for reading in self._book.parser.sentences(phrasebook.TEXT, cut.heard(), cut.edges()):
            cost = cut.cost(reading.marks) + RANKED * (1 - reading.weight)
            if cost <= ACCEPT_SLIP or len(reading.marks) > 1:
                yield _Candidate(command(text, said, reading.marks, how=cut.how), cost)

    def _opened(self, text: str, said: Sequence[Said], cut: Text) -> Iterator[_Candidate]:
        for reading in self._openings.readings(cut):
            found = command(text, said, reading.marks, how=cut.how)
            if found.intent not in CHANGES or is_told(cut.words):
                yield _Candidate(found, SET_ASIDE + cut.cost(reading.marks) + RANKED * (1 - reading.weight))

    def _templated(self, text: str, said: Sequence[Said], cut: Text) -> Iterator[_Candidate]:
        for match in self._templates.nearest(cut.pieces):
            if match.cost > ACCEPT:
                break
            for cost, marks in _filled(match):
                found = command(text, said, marks, how=cut.how)
                if _may_be_meant(found, cost, match, cut, self._around):
                    yield _Candidate(found, cost)

    def _unknown(self, text: str, said: Sequence[Said], cut: Text) -> NotUnderstood | None:
        """Which words were taken for a name that the book lacks, and what comes nearest to them."""
        found = self._strangers.find(cut)
        if found is None:
            return None
        unknown = text[said[found.start].start : said[found.end - 1].end]
        return NotUnderstood(text, unknown, found.kind, found.near)


def _named(text: str, said: Sequence[Said], cut: Text) -> Ambiguous | None:
    """The question what is asked about the one drink that a text names as the book does.

    None where a word turns the meaning, where something else is named or counted, or where unknown words are more than
    one or stand beside the name: that is other talk, or another drink.
    """
    heavy = [piece for piece in cut.pieces if piece.labels and piece.weight >= CONTENT]
    strange = [piece for piece in cut.pieces if not piece.labels]
    if len(heavy) != 1 or len(cut.pieces) == 1 or len(strange) > 1:
        return None
    drinks = [fill.value for fill in heavy[0].labels.get("names.drink", ()) if not fill.cost]
    if len(drinks) != 1 or any(piece.end == heavy[0].start or piece.start == heavy[0].end for piece in strange):
        return None
    named = Mark("drink", drinks[0], heavy[0].start, heavy[0].end)
    asked = (command(text, said, (named, Mark("intent", intent.value, 0, 0))) for intent in ABOUT_A_NAME)
    return Ambiguous(text, tuple(asked), "intent")


def _may_be_meant(found: Command, cost: float, match: Match, cut: Text, around: frozenset[str]) -> bool:
    """Whether a command may be taken from a template, where small words differ.

    1. Words alone must be nearly as written, and soft words about a name too. 2. A name alone means what it means by
    itself, among words that may stand around it. 3. 'Which drinks contain nuts' does not ask about the drink talked of,
    nor 'contains nuts?' about all of them.
    4. What changes something is told, not asked, and so is what is to be left out: 'no dairy, can she have a flip?'
    """
    if not match.fills_something:
        told = found.intent not in CHANGES - {Intent.UNDO} or is_told(cut.words)
        return told and match.says >= WORD and cost <= ACCEPT_WORDS
    if not match.says:
        alone = len(match.labels) == 1 and BY_ITSELF.get(match.labels[0]) is found.intent
        return alone and around.issuperset(match.left_over)
    if match.says < WORD and cost > ACCEPT_SOFT:
        return False
    if found.intent is Intent.WITHOUT and not ASKING.isdisjoint(cut.words):
        return False
    if found.intent is Intent.CONTAINS and _asks_which(found, cut) is not ("part" in found.slots):
        return False
    return found.intent not in CHANGES or (match.says >= WORD and is_told(cut.words))


def _asks_which(found: Command, cut: Text) -> bool:
    """Whether a text asks which drinks do, where a command would ask whether one does."""
    if "drink" in found.slots or found.slots.get("text") == "allergens":
        return False
    return cut.words[0] in WHICH or not MANY.isdisjoint(cut.words)


def _filled(match: Match) -> Iterator[tuple[float, tuple[Mark, ...]]]:
    """The marks of a template for each way to fill its slots, with its cost."""
    settings = tuple(Mark(slot, value, 0, 0) for slot, value in match.template.settings)
    fills = [piece.labels[part.label][:MOST_RIVALS] for part, piece in match.taken]
    for chosen in product(*fills):
        marks = settings
        for (part, piece), fill in zip(match.taken, chosen, strict=True):
            marks += fill.marks
            if part.slot:
                marks += (Mark(part.slot, fill.value, piece.start, piece.end),)
        yield match.cost + sum(fill.cost for fill in chosen), marks


def _decided(text: str, candidates: Iterable[_Candidate]) -> Meaning | None:
    """The cheapest command if nothing is as likely, else the choice; None when none is cheap enough."""
    best: dict[tuple[object, ...], _Candidate] = {}
    for candidate in sorted(candidates, key=lambda c: c.cost):
        best.setdefault(_meaning(candidate.command), candidate)
    ranked = list(best.values())
    if ranked and ranked[0].command.intent in CHANGES and not ranked[0].is_cheap:
        return NotUnderstood(text)  # a change that is not clear enough is not taken for something milder either
    ranked = [candidate for candidate in ranked if candidate.is_cheap]
    if not ranked:
        return None
    likely = [c.command for c in ranked if c.cost <= ranked[0].cost + LEAD]
    sure = round(1 - max(0.0, ranked[0].cost), 3)
    confident = replace(ranked[0].command, confidence=sure, runners_up=tuple(c.command for c in ranked[1:4]))
    return _choice(text, likely) or confident


def _choice(text: str, likely: Sequence[Command]) -> Ambiguous | None:
    """The question between commands: by the first slot in which the best and others like it differ, else by intent.

    None when there is nothing to ask: one command alone, or others that only fill other slots than the best.
    """
    best = likely[0]
    alike = [c for c in likely if c.intent is best.intent and c.slots.keys() == best.slots.keys()]
    for slot in best.slots if len(alike) > 1 else ():
        by_value = {str(c.slots[slot]): c for c in reversed(alike)}
        if len(by_value) > 1:
            choices = [c for c in alike if by_value[str(c.slots[slot])] is c]
            return Ambiguous(text, tuple(choices[:MOST_RIVALS]), slot)
    by_intent = {c.intent: c for c in reversed(likely)}
    choices = [c for c in likely if by_intent[c.intent] is c]
    return Ambiguous(text, tuple(choices[:MOST_RIVALS]), "intent") if len(choices) > 1 else None


def _meaning(of: Command) -> tuple[object, ...]:
    return (of.intent, *sorted((slot, str(value)) for slot, value in of.slots.items()))
