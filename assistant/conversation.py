"""The conversations going on: what each is about, what it was last told, and what it can still undo."""

from __future__ import annotations

import threading
from collections import OrderedDict, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from assistant.asking import Pending
from assistant.messages import Focus, Reply
from assistant.tonight import Trouble
from grammar.command import Command

IDLE = timedelta(minutes=20)  # after this long a silence, talk starts afresh
MOST_CONVERSATIONS = 500  # beyond this the one longest silent is forgotten
MOST_UNDONE = 50  # how many changes back a conversation can undo


@dataclass
class Conversation:
    """One device's talk. Only the thread that holds it (see Conversations.held) may touch it."""

    focus: Focus = field(default_factory=Focus)
    pending: Pending | None = None
    last: Reply | None = None  # what 'say that again' says
    asked: Command | None = None  # what was answered last, as it was said; 'and the white lady?' asks it again
    changes: deque[str] = field(default_factory=lambda: deque(maxlen=MOST_UNDONE))  # undo tokens, newest last
    told: frozenset[Trouble] = frozenset()  # troubles that were told
    who: str = ""  # who is speaking, by name; empty while nobody has said
    last_by_manager: bool = False  # whether `last` was said to the manager
    heard_at: datetime | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)

    def wake(self, now: datetime) -> None:
        """Note that something was said now; after a long silence, what was talked of is forgotten.

        What can be undone stays: a change is as easily regretted after twenty minutes.
        """
        if self.heard_at is not None and now - self.heard_at > IDLE:
            self.focus, self.pending, self.last, self.asked = Focus(), None, None, None
        self.heard_at = now


class Conversations:
    """All conversations by name, a bounded number of them. Safe to use from several threads."""

    def __init__(self, most: int = MOST_CONVERSATIONS) -> None:
        self._most = most
        self._by_name: OrderedDict[str, Conversation] = OrderedDict()
        self._lock = threading.Lock()

    def __len__(self) -> int:
        """How many are remembered."""
        return len(self._by_name)

    @contextmanager
    def held(self, name: str, now: datetime) -> Iterator[Conversation]:
        """The conversation of that name, awake, held for one utterance: two in one conversation wait for each other."""
        with self._lock:
            conversation = self._by_name.setdefault(name, Conversation())
            self._by_name.move_to_end(name)
            while len(self._by_name) > self._most:
                self._by_name.popitem(last=False)
        with conversation.lock:
            conversation.wake(now)
            yield conversation
