"""The one door through which the page changes the book: checked by the book's own checks, written, and undone.

What is kept is put into the text that the file has at that moment. So an edit by hand of another entry stays, and an
entry that somebody else changed since it was opened is never written over: that is refused, and said.
"""

from __future__ import annotations

import uuid
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass

from assistant.editing.drafts import Draft, Kind, Opened, fingerprint
from assistant.editing.entries import block_in, entries_of, fields_of, is_within, name_in, page_titles, with_draft
from assistant.editing.folder import BookFolder
from assistant.editing.history import Edit, History
from assistant.editing.rewriting import NotRewritable, added, swapped
from assistant.errors import EditRefused
from assistant.memory import Clock, utc_now
from recipes.faults import Fault
from recipes.loader import book_of
from recipes.model import Book


@dataclass(frozen=True)
class Candidate:
    """The book as it would be with a draft in it."""

    block: str  # the entry's text
    page: str  # its file
    text: str  # of that file
    book: Book | None  # None when there are faults
    own: tuple[Fault, ...]  # faults of the draft
    elsewhere: tuple[Fault, ...]  # faults of other entries

    @property
    def faults(self) -> tuple[Fault, ...]:
        """All of them."""
        return (*self.own, *self.elsewhere)


class Editor:
    """Changes the book of one folder. Safe to use from several threads and by several programs.

    Every method raises EditRefused when it cannot do what it is asked; then nothing has changed.
    """

    def __init__(self, folder: BookFolder, clock: Clock = utc_now) -> None:
        self._folder = folder
        self._clock = clock
        self.history = History(folder.path)

    def pages(self, kind: Kind) -> dict[str, str]:
        """The files that a new entry of a kind can go into, each with what it is called."""
        return page_titles(kind, self._texts())

    def contents(self, kind: Kind) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
        """Each file that holds entries of a kind, its title, and their names in order."""
        texts = self._texts()
        titles = page_titles(kind, texts)
        return tuple(
            (page, title, tuple(str(entry["name"]) for entry in entries_of(texts[page], kind) if "name" in entry))
            for page, title in titles.items()
        )

    def usual_sources(self, kind: Kind) -> dict[str, str]:
        """The source that most entries of each file name."""
        texts = self._texts()
        counted = {
            page: Counter(str(entry["source"]) for entry in entries_of(texts[page], kind) if "source" in entry)
            for page in page_titles(kind, texts)
        }
        return {page: sources.most_common(1)[0][0] for page, sources in counted.items() if sources}

    def opened(self, kind: Kind, name: str) -> Opened:
        """An entry as it stands in its file now."""
        texts = self._texts()
        page = _page_with(kind, name, texts)
        block = block_in(texts[page], kind, name) or ""
        return Opened(kind, page, block, fields_of(block, kind))

    def candidate(self, draft: Draft) -> Candidate:
        """The book as it would be, and every fault that it would have."""
        return _candidate(draft, self._texts())

    def keep(self, draft: Draft, who: str) -> Edit:
        """Write a draft into its file. With faults, or where the entry changed since it was opened, it is refused."""
        with self._alone():
            texts = self._texts()
            found = _candidate(draft, texts)
            before = _unchanged_since(draft, texts[found.page]) if draft.was else None
            if found.faults:
                raise EditRefused("faults", *map(str, found.faults))
            if found.block == before:
                raise EditRefused("same", draft.name)
            edit = Edit(
                token=uuid.uuid4().hex,
                at=self._clock(),
                who=who,
                kind=draft.kind,
                name=draft.name,
                page=found.page,
                before=before,
                after=found.block,
            )
            return self._write(edit, texts[found.page], found.text)

    def remove(self, kind: Kind, name: str, seen: str, who: str) -> Edit:
        """Take an entry out of its file, if it is as it was `seen`. Where another entry names it, it is refused."""
        with self._alone():
            texts = self._texts()
            page = _page_with(kind, name, texts)
            block = _unchanged_since(Draft(kind, page, {}, name, seen), texts[page])
            text = _without(block, name, page, texts)
            edit = Edit(
                token=uuid.uuid4().hex,
                at=self._clock(),
                who=who,
                kind=kind,
                name=name,
                page=page,
                before=block,
                after=None,
            )
            return self._write(edit, texts[page], text)

    def undo(self, token: str, who: str) -> Edit:
        """Put back what an edit changed; returns the edit that does so, which can be undone itself."""
        with self._alone():
            edit = self.history.find(token)
            if edit is None:
                raise EditRefused("unknown edit")
            texts = self._texts()
            text = _taken_back(edit, self._is_undone(edit), texts)
            book, faults = book_of({**texts, edit.page: text})
            if book is None:
                raise EditRefused("faults", *map(str, faults))
            back = edit.model_copy(
                update={
                    "token": uuid.uuid4().hex,
                    "at": self._clock(),
                    "who": who,
                    "name": name_in(edit.before, edit.kind) if edit.before else edit.name,
                    "before": edit.after,
                    "after": edit.before,
                    "undoes": token,
                }
            )
            return self._write(back, texts[edit.page], text)

    def standing(self) -> frozenset[str]:
        """The tokens of the edits that could be undone now: what they wrote is there to the letter."""
        texts, edits = self._texts(), self.history.edits()
        undone = {edit.undoes for edit in edits}
        return frozenset(edit.token for edit in edits if edit.token not in undone and _stands(edit, texts))

    def _is_undone(self, edit: Edit) -> bool:
        return any(other.undoes == edit.token for other in self.history.edits())

    def _write(self, edit: Edit, old: str, new: str) -> Edit:
        """The file, if it still is what was read, and the line of the history; both or neither."""
        try:
            if self._folder.texts().get(edit.page) != old:
                raise EditRefused("changed", edit.name)
            self._folder.replace(edit.page, new)
            try:
                self.history.add(edit)
            except OSError:
                self._folder.replace(edit.page, old)
                raise
        except OSError as error:
            raise EditRefused("not written", str(error)) from error
        return edit

    def _texts(self) -> dict[str, str]:
        try:
            return self._folder.texts()
        except (OSError, UnicodeDecodeError) as error:
            raise EditRefused("not read", str(error)) from error

    @contextmanager
    def _alone(self) -> Iterator[None]:
        try:
            with self._folder.held():
                yield
        except TimeoutError as error:
            raise EditRefused("busy") from error
        except NotRewritable as error:
            raise EditRefused("by hand", str(error)) from error
        except OSError as error:
            raise EditRefused("not written", str(error)) from error


def _candidate(draft: Draft, texts: Mapping[str, str]) -> Candidate:
    page = _page_with(draft.kind, draft.was, texts) if draft.was else draft.page
    if page not in page_titles(draft.kind, texts):
        raise EditRefused("no page", page)
    try:
        block, text = with_draft(draft, texts[page])
    except NotRewritable as error:
        raise EditRefused("by hand", draft.was) from error
    book, faults = book_of({**texts, page: text})
    own = tuple(fault for fault in faults if fault.file == page and is_within(fault.line, block, text))
    return Candidate(block, page, text, book, own, tuple(fault for fault in faults if fault not in own))


def _page_with(kind: Kind, name: str, texts: Mapping[str, str]) -> str:
    try:
        found = [page for page in page_titles(kind, texts) if block_in(texts[page], kind, name) is not None]
    except NotRewritable as error:
        raise EditRefused("by hand", name) from error
    if not found:
        raise EditRefused("gone", name)
    return found[0]


def _unchanged_since(draft: Draft, text: str) -> str:
    """The block that a draft changes, if it is as it was when it was opened."""
    block = block_in(text, draft.kind, draft.was) or ""
    if fingerprint(block) != draft.seen:
        raise EditRefused("changed", draft.was)
    return block


def _without(block: str, name: str, page: str, texts: Mapping[str, str]) -> str:
    """The file's text without an entry, if no other needs it."""
    faults = book_of(texts)[1]
    if faults:
        raise EditRefused("faults", *map(str, faults))
    text = swapped(texts[page], block, None)
    left = book_of({**texts, page: text})[1]
    if left:
        raise EditRefused("in use", name, *dict.fromkeys(fault.entry or fault.file for fault in left))
    return text


def _taken_back(edit: Edit, is_undone: bool, texts: Mapping[str, str]) -> str:
    """The file's text without an edit."""
    if is_undone:
        raise EditRefused("undone already", edit.name)
    text = texts.get(edit.page, "")
    if edit.after is None:
        return added(text, edit.before or "")
    try:
        return swapped(text, edit.after, edit.before)
    except NotRewritable as error:
        raise EditRefused("changed since", edit.name) from error


def _stands(edit: Edit, texts: Mapping[str, str]) -> bool:
    if edit.after is not None and edit.after not in texts.get(edit.page, ""):
        return False
    try:
        _taken_back(edit, False, texts)
    except EditRefused:
        return False
    return True
