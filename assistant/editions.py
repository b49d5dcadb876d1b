"""The book as it stands tonight, made anew only when its files, a price or a kept drink is another."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.memory import Remembered
from assistant.tonight import Trouble, effective
from recipes.menu_costs import go_on_from
from recipes.model import Book


@dataclass(frozen=True)
class _Edition:
    files: Book
    laid_over: tuple[object, ...]
    book: Book
    troubles: tuple[Trouble, ...]


class Editions:
    """The latest edition of a book; the next begins with what was worked out of it."""

    def __init__(self) -> None:
        self._latest: _Edition | None = None

    def of(self, files: Book, remembered: Remembered) -> tuple[Book, tuple[Trouble, ...]]:
        """The files' book with what the memory lays over it, and what of that no longer fits.

        What is out, counted, sold or answered in a quiz makes no new edition: what was worked out of the book stays.
        """
        laid_over = (dict(remembered.prices), dict(remembered.pars), remembered.drinks, remembered.unreadable)
        latest = self._latest
        if latest is None or latest.files is not files or latest.laid_over != laid_over:
            book, troubles = effective(files, remembered)
            if latest is not None:
                go_on_from(latest.book, book)
            latest = self._latest = _Edition(files, laid_over, book, troubles)
        return latest.book, latest.troubles
