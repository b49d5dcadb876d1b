"""How a name will be heard: the sounds that are listened for, what is guessed of them, and what it may be taken for."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from assistant.ears.pronunciation import Pronouncer
from assistant.ears.sayability import Said, said, too_alike
from assistant.editing.drafts import Kind
from grammar.clean import phrase
from grammar.names import Name, Names


@dataclass(frozen=True)
class Sounding:
    """One name: each word of the wording that it is usually said by, in phones (ARPAbet)."""

    words: tuple[tuple[str, ...], ...]
    guessed: tuple[str, ...] = ()  # words that no dictionary has, said by their letters
    mute: tuple[str, ...] = ()  # words that cannot be said at all
    taken_for: tuple[str, ...] = ()  # other names that it cannot be told from by ear
    owner: str = ""  # another entry that is called by one of its names already

    @property
    def is_sayable(self) -> bool:
        """Whether a recogniser can hear it."""
        return bool(self.words)


def sounding(kind: Kind, name: Name, names: Names, was: str = "") -> Sounding:
    """How a name is heard among the book's; `was` is the entry's own name there, which does not count."""
    pronouncer = _pronouncer()
    own = said(_only(kind, name), pronouncer)[0]
    others = tuple(
        other for other in _book_said(names) if other.kind == kind and other.name not in (was, name.canonical)
    )
    wording = next((w for w in (*name.sounds_like, name.canonical, *name.spoken) if _can_be_said(w, pronouncer)), "")
    words = tuple(pronouncer.ways(word)[0] for word in phrase(wording))
    alike = tuple(other.name for other in others if any(too_alike((own, other))))
    guessed = tuple(word for word in phrase(wording) if not pronouncer.is_known(word))
    return Sounding(words, guessed, own.mute, alike, _owner(kind, name, names, was))


def _only(kind: Kind, name: Name) -> Names:
    return Names(drink=(name,)) if kind == "drink" else Names(ingredient=(name,))


@lru_cache(maxsize=1)
def _pronouncer() -> Pronouncer:
    return Pronouncer()


@lru_cache(maxsize=2)
def _book_said(names: Names) -> tuple[Said, ...]:
    """How every name of the book is said; worked out once for each edition of it."""
    return said(names, _pronouncer())


def _can_be_said(wording: str, pronouncer: Pronouncer) -> bool:
    words = phrase(wording)
    return bool(words) and not pronouncer.unsayable(words)


def _owner(kind: Kind, name: Name, names: Names, was: str) -> str:
    """Another entry of the kind that has one of these names, without regard to case."""
    wanted = {wording.casefold() for wording in (name.canonical, *name.spoken)}
    known = names.drink if kind == "drink" else names.ingredient
    others = (other for other in known if other.canonical != was)
    found = (o.canonical for o in others if wanted & {w.casefold() for w in (o.canonical, *o.spoken)})
    return next(found, "")
