"""Whether each name of the book can be heard, and how it is said: for `prep-assistant check`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, islice

from assistant.ears.pronunciation import Pronouncer
from grammar.clean import phrase
from grammar.names import Name, Names
from grammar.sounds import Phones, distance

# Phones between two names: with less, a recogniser takes one for the other. Of thirteen pairs 1 to 2 phones apart, each
# name asked for by six voices in a quiet and a noisy room, one name was once taken for the other.
TOO_ALIKE = 1.0


@dataclass(frozen=True)
class Said:
    """A name and the sounds that it is heard by."""

    name: str
    kind: str  # 'drink' or 'ingredient'
    phones: tuple[str, ...]  # every wording, phones parted by spaces: 'G IH M L AH T'
    wordings: tuple[str, ...]  # the same in words: 'gimlet'
    guessed: tuple[str, ...]  # its words that no dictionary has: said by their letters
    mute: tuple[str, ...]  # its words that cannot be said at all: digits, other scripts

    @property
    def is_sayable(self) -> bool:
        """Whether a recogniser can hear it in at least one wording."""
        return bool(self.phones)


@dataclass(frozen=True)
class Alike:
    """Two names of one kind, and the wordings by which one is taken for the other."""

    one: Said
    other: Said
    sounds: tuple[str, str]  # of each, phones parted by spaces


def said(names: Names, pronouncer: Pronouncer | None = None) -> tuple[Said, ...]:
    """How each drink and ingredient is said, in the order of the book."""
    pronouncer = pronouncer or Pronouncer()
    kinds = (("drink", names.drink), ("ingredient", names.ingredient))
    return tuple(_said(name, kind, pronouncer) for kind, known in kinds for name in known)


def unsayable(names: Names, pronouncer: Pronouncer | None = None) -> tuple[Said, ...]:
    """The names that no recogniser could hear, in any of their wordings."""
    return tuple(name for name in said(names, pronouncer) if not name.is_sayable)


def too_alike(names: tuple[Said, ...]) -> Iterator[Alike]:
    """Pairs of one kind of which some wordings are less than TOO_ALIKE phones apart."""
    sounds = [[(sound, tuple(sound.split())) for sound in name.phones] for name in names]
    for (one, its), (other, others) in combinations(zip(names, sounds, strict=True), 2):
        if one.kind == other.kind:
            near = ((sound, theirs) for sound, mine in its for theirs, phones in others if _are_alike(mine, phones))
            yield from (Alike(one, other, pair) for pair in islice(near, 1))


def _are_alike(one: Phones, other: Phones) -> bool:
    return abs(len(one) - len(other)) <= 1 and distance(one, other) < TOO_ALIKE


def _said(name: Name, kind: str, pronouncer: Pronouncer) -> Said:
    wordings = [phrase(text) for text in (*name.sounds_like, name.canonical, *name.spoken)]
    words = [word for wording in wordings for word in wording]
    ways: dict[str, str] = {}  # of wordings that sound the same, the first
    for wording in wordings:
        if phones := _phones(wording, pronouncer):
            ways.setdefault(" ".join(phones), " ".join(wording))
    return Said(
        name.canonical,
        kind,
        tuple(ways),
        tuple(ways.values()),
        tuple(dict.fromkeys(w for w in words if pronouncer.ways(w) and not pronouncer.is_known(w))),
        tuple(dict.fromkeys(pronouncer.unsayable(words))),
    )


def _phones(wording: tuple[str, ...], pronouncer: Pronouncer) -> Phones:
    """The wording's phones, each word said the usual way; none when a word of it cannot be said."""
    ways = [pronouncer.ways(word) for word in wording]
    return tuple(phone for way in ways for phone in way[0]) if all(ways) else ()
