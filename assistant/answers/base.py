"""What every answer is given and what it gives back.

An answer is a plain function ``(command, scene) -> Answer``: it asks the engine, and writes the sentences. It changes
nothing itself; a change of what the bar remembers is handed back as a value, and the dialogue has the memory make it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from types import MappingProxyType

from assistant.messages import Focus, Reply
from grammar.command import Command
from recipes.model import Book, Drink
from recipes.stocktake import OnHand
from recipes.units import Quantity

LONG_AGO = datetime(1970, 1, 1, tzinfo=UTC)  # the time of what has none


@dataclass(frozen=True)
class SetPrice:
    """The pack of an ingredient now costs this much (money)."""

    ingredient: str
    price: Quantity


@dataclass(frozen=True)
class SetPar:
    """The least of an ingredient that this bar has at opening (mL, g or pieces); None: what the book says."""

    ingredient: str
    par: Quantity | None


@dataclass(frozen=True)
class SetOut:
    """An ingredient is out, or back in."""

    ingredient: str
    out: bool


@dataclass(frozen=True)
class KeepDrink:
    """A new drink (a riff that was named) goes into the book."""

    drink: Drink


@dataclass(frozen=True)
class Marked:
    """One quiz answer was marked: `points` of `out_of`."""

    trainee: str
    drink: str
    kind: str  # 'build', 'amount of gin', 'glass', ...
    points: int
    out_of: int
    at: datetime = field(default=LONG_AGO, compare=False)  # when: the memory knows it


@dataclass(frozen=True)
class FloorTest:
    """A floor test was taken to its end."""

    trainee: str
    title: str  # what it was about
    points: int
    out_of: int
    passed: bool
    at: datetime = field(default=LONG_AGO, compare=False)  # when: the memory knows it


@dataclass(frozen=True)
class Supplied:
    """What a supplier's list calls something, and the ingredients of the book that are bought under that name."""

    name: str  # as in the list, folded: small letters, single spaces
    ingredients: tuple[str, ...]


@dataclass(frozen=True)
class Sold:
    """How many of a drink were sold in the period of the last sales list; None: it is not on that list."""

    drink: str
    count: int | None


@dataclass(frozen=True)
class Introduced:
    """Somebody of the house said who they are; from now on they can be asked about by name."""

    name: str


@dataclass(frozen=True)
class Counted:
    """What there is of an ingredient was counted; with nothing in `on_hand`, no count of it stands any longer."""

    ingredient: str
    on_hand: OnHand
    at: datetime = LONG_AGO  # when


Change = SetPrice | SetPar | SetOut | KeepDrink | Marked | FloorTest | Supplied | Sold | Counted | Introduced


@dataclass(frozen=True)
class Scene:
    """What an answer may look at."""

    book: Book  # with tonight's prices and kept riffs
    out: frozenset[str]  # ingredients that are out
    focus: Focus
    trainee: str = "trainee"
    now: datetime = LONG_AGO  # by the clock of the talk
    marks: tuple[Marked, ...] = ()  # earlier quiz marks of this trainee, oldest first
    tests: tuple[FloorTest, ...] = ()  # floor tests of every trainee, oldest first
    sold: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))  # by drink, in the last period
    costs_shown: bool = True  # to whoever asks: not where the house keeps them for the manager
    on_hand: Mapping[str, Counted] = field(default_factory=lambda: MappingProxyType({}))  # by ingredient
    pars: frozenset[str] = frozenset()  # ingredients whose par is this bar's own, and not the book's


@dataclass(frozen=True)
class Answer:
    """A reply, where the conversation now stands, and what is to be remembered."""

    reply: Reply
    focus: Focus
    change: Change | None = None
    also: tuple[Change, ...] = ()  # kept together with the change, and undone with it
    lasting: bool = False  # 'undo' does not take the change back


Handler = Callable[[Command, Scene], Answer]
