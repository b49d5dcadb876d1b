"""Which sentences of a bar's grammar mean the same, for its recognisers: what is doubtful then is not the command.

'Old fashion' and 'old fashioned', 'limes rose to a dollar' and 'limes go to a dollar' sound alike and ask for the same.
"""

from __future__ import annotations

from grammar.command import Command
from grammar.gist import gist
from grammar.matcher import Matcher
from grammar.names import Names
from grammar.respellings import Respellings


class Meanings:
    """The meanings of sentences, with the names of one book."""

    def __init__(self, names: Names) -> None:
        self._written, self._matcher = Respellings(names).written, Matcher(names)

    def gist(self, text: str) -> str:
        """What the words come down to: the same only for sentences that mean the same, told in no time."""
        return gist(self._written(text))

    def meaning(self, text: str) -> object:
        """The command with all that it says: equal for sentences that mean the same, told in some milliseconds."""
        meant = self._matcher.understand(self._written(text))
        return (meant.intent, dict(meant.slots)) if isinstance(meant, Command) else self.gist(text)
