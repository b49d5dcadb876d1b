"""Where the book is edited: a draft weighed up while it is typed, kept, and undone; the page is a thin door to this."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.answers import drafts as told
from assistant.answers import edits
from assistant.answers.base import Scene
from assistant.editing.drafts import Draft, Kind, Opened
from assistant.editing.editor import Candidate, Editor
from assistant.editing.folder import BookFolder
from assistant.editing.history import Edit
from assistant.editing.rewriting import Fields
from assistant.editing.sounding import Sounding, sounding
from assistant.editing.typed import ReadLine, drink_so_far, fields_of_drink, read_lines, texts
from assistant.errors import EditRefused
from assistant.memory import Clock, utc_now
from assistant.messages import Focus, Reply
from assistant.names import names_of
from assistant.services import Services
from grammar.names import Name
from recipes.model import Drink
from recipes.safety import names_in

TAKEN = "already names"  # what the book's check says of a name that two entries have


@dataclass(frozen=True)
class LineSaid:
    """A typed line as it is read: whether it can be, what is said of it, and what could be written instead."""

    is_read: bool
    said: str
    instead: str = ""


@dataclass(frozen=True)
class Report:
    """A draft weighed up."""

    reply: Reply  # what it would be like
    faults: Mapping[str, tuple[str, ...]]  # by field: 'glass', 'pack.size'
    elsewhere: tuple[str, ...]  # faults of other entries, and what is wrong with the draft as a whole
    lines: Mapping[str, tuple[LineSaid, ...]]  # of each field that holds pours
    text: str  # the entry as it would stand in its file


class Desk:
    """The book's desk. Methods that change something answer with a reply, also when they refuse."""

    def __init__(self, services: Services, clock: Clock = utc_now) -> None:
        self._services = services
        self._clock = clock

    @property
    def is_shipped(self) -> bool:
        """Whether the book is the one that ships, which is not changed."""
        return self._services.files.is_shipped

    @property
    def folder(self) -> str:
        """Where the book's files lie."""
        return str(self._services.files.folder)

    def make_own(self) -> Reply:
        """Copy the book that ships, and go on with the copy."""
        try:
            self._services.files.make_own()
        except OSError as error:
            return edits.refused(EditRefused("not copied", str(error)))
        self._services.book_edited()
        return edits.made_own(self.folder)

    def pages(self, kind: Kind) -> dict[str, str]:
        """The files that a new entry can go into, each with its title. Raises EditRefused."""
        return self._editor().pages(kind)

    def names_by_page(self, kind: Kind) -> dict[str, tuple[str, ...]]:
        """The names in each file, by the file's title. Raises EditRefused."""
        return {title: names for _, title, names in self._editor().contents(kind)}

    def usual_sources(self, kind: Kind) -> dict[str, str]:
        """Where most entries of each file come from, an id in sources.toml. Raises EditRefused."""
        return self._editor().usual_sources(kind)

    def opened(self, kind: Kind, name: str) -> Opened:
        """An entry as it stands in its file. Raises EditRefused."""
        return self._editor().opened(kind, name)

    def as_new(self, drink: Drink) -> Fields:
        """A drink that was kept by voice, or imported, as a draft would have it."""
        return fields_of_drink(drink, self._services.book)

    def history(self) -> tuple[tuple[Edit, bool], ...]:
        """Every edit, the latest first, and whether it could be undone now. Raises EditRefused."""
        editor = self._editor()
        standing = editor.standing()
        return tuple((edit, edit.token in standing) for edit in reversed(editor.history.edits()))

    def knows(self, token: str) -> bool:
        """Whether an edit of the book has this token."""
        return self._editor().history.find(token) is not None

    def weigh_up(self, draft: Draft) -> Report:
        """What is to mend in a draft, and what it would be like."""
        try:
            candidate = self._editor().candidate(draft)
        except EditRefused as refusal:
            return Report(edits.refused(refusal), {}, (edits.refused(refusal).say,), {}, "")
        return self._report(draft, candidate)

    def keep(self, draft: Draft, who: str) -> Reply:
        """Write a draft into the book's files."""
        try:
            return self._edited(edits.kept(self._own_editor().keep(draft, who)))
        except EditRefused as refusal:
            return edits.refused(refusal)

    def remove(self, kind: Kind, name: str, seen: str, who: str) -> Reply:
        """Take an entry out of the book's files, unless something uses it: a drink kept by voice does, too."""
        try:
            editor = self._own_editor()
            users = self._poured_in(name) if kind == "ingredient" else ()
            if users:
                raise EditRefused("in use", name, *users)
            return self._edited(edits.removed(editor.remove(kind, name, seen, who)))
        except EditRefused as refusal:
            return edits.refused(refusal)

    def undo(self, token: str, who: str) -> Reply:
        """Take an edit back."""
        try:
            return self._edited(edits.taken_back(self._own_editor().undo(token, who)))
        except EditRefused as refusal:
            return edits.refused(refusal)

    def _poured_in(self, ingredient: str) -> tuple[str, ...]:
        """The drinks of tonight's book that have it, poured or on top."""
        drinks = self._services.book.drinks.values()
        return tuple(drink.name for drink in drinks if ingredient in names_in(drink))

    def _editor(self) -> Editor:
        return Editor(BookFolder(self._services.files.folder), self._clock)

    def _own_editor(self) -> Editor:
        if self.is_shipped:
            raise EditRefused("shipped")
        return self._editor()

    def _edited(self, reply: Reply) -> Reply:
        self._services.book_edited()
        return reply

    def _report(self, draft: Draft, candidate: Candidate) -> Report:
        book = self._services.book
        pours = {field: read_lines(_lines_of(draft, field), book) for field in ("pours", "made.pours")}
        unread = [line for lines in pours.values() for line in lines if line.pour is None]
        heard = self._heard(draft)
        owner = heard.owner if heard else ""
        faults = _faults(candidate, owner, bool(unread))
        elsewhere = tuple(
            edits.fault_elsewhere(fault)
            for fault in candidate.elsewhere
            if not (owner and TAKEN in fault.problem)  # that is told beside the name
        )
        mends = sum(map(len, faults.values())) + len(unread) + len(elsewhere)
        scene = Scene(book, self._services.tonight().out, Focus())
        if draft.kind == "drink":
            reply = told.drink_draft(drink_so_far(draft, book), unread, mends, heard, scene)
        else:
            whole = candidate.book or book
            reply = told.ingredient_draft(
                candidate.book.ingredients.get(draft.name) if candidate.book else None,
                mends,
                heard,
                Scene(whole, scene.out, scene.focus),
            )
        said = {field: tuple(map(_said, lines)) for field, lines in pours.items() if lines}
        return Report(reply, faults, elsewhere, said, candidate.block)

    def _heard(self, draft: Draft) -> Sounding | None:
        """How its name will be heard; None while it has none."""
        if not draft.name:
            return None
        fields = draft.fields
        name = Name(draft.name, texts(fields.get("say")), texts(fields.get("sounds_like")))
        return sounding(draft.kind, name, names_of(self._services.files.book), draft.was)


def _lines_of(draft: Draft, field: str) -> tuple[str, ...]:
    outer, _, inner = field.partition(".")
    value = draft.fields.get(outer)
    if inner:
        return texts(value.get(inner)) if isinstance(value, Mapping) else ()
    return texts(value)


def _faults(candidate: Candidate, owner: str, has_unread_lines: bool) -> dict[str, tuple[str, ...]]:
    """The draft's own faults by field; what stands beside its lines already is not said twice."""
    found: dict[str, tuple[str, ...]] = {}
    for fault in candidate.own:
        if has_unread_lines and fault.field.endswith("pours"):
            continue
        said = edits.name_taken(owner) if owner and TAKEN in fault.problem else edits.fault_said(fault)
        found[fault.field] = (*found.get(fault.field, ()), said)
    if owner and not any(field in found for field in ("name", "say")):
        found["name"] = (edits.name_taken(owner),)
    return found


def _said(line: ReadLine) -> LineSaid:
    return LineSaid(line.pour is not None, told.line_said(line), line.instead)
