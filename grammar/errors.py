"""What can go wrong in this package.

    GrammarError
    ├── JsgfError      a grammar file breaks the rules of JSGF, or ours
    └── PhraseError    our phrases ask for something that this program does not know (a tag, a slot, an intent)

A text that is not understood is no error: it is a value (`NotUnderstood`, `Ambiguous`).
"""

from __future__ import annotations


class GrammarError(Exception):
    """The root of the tree."""


class JsgfError(GrammarError):
    """A fault in a grammar: where it is, what is wrong, and what would mend it."""

    def __init__(self, file: str, line: int, problem: str, mend: str) -> None:
        super().__init__(file, line, problem, mend)
        self.file = file
        self.line = line
        self.problem = problem
        self.mend = mend

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.problem}; {self.mend}"


class PhraseError(GrammarError):
    """A tag of a phrase that means nothing to this program."""

    def __init__(self, rule: str, tag: str, problem: str) -> None:
        super().__init__(rule, tag, problem)
        self.rule = rule
        self.tag = tag
        self.problem = problem

    def __str__(self) -> str:
        return f"<{self.rule}> {{{self.tag}}}: {self.problem}"
