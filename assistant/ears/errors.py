"""What can go wrong between a microphone and a text.

    EarsError
    ├── RecogniserFailed       the recogniser broke down over one utterance; it is replaced
    │   ├── RecogniserTooSlow  it took longer than it may, and was stopped
    │   ├── RecogniserDied     its process has died, or been killed
    │   └── RecogniserBusy     every worker had other utterances; this one was not begun
    ├── NotSound               a file or a body that cannot be heard
    ├── NoModel                a speech model is not where it was looked for, or lacks a part
    ├── WordNotSayable         a grammar has words that the recogniser cannot listen for
    ├── NoMicrophone           nothing to record with
    └── FetchFailed            a model could not be fetched whole

Speech that no grammar takes is no error: it is a `Heard` with empty text.
"""

from __future__ import annotations

from pathlib import Path

from assistant.errors import AssistantError


class EarsError(AssistantError):
    """The root of the tree. Each says in one line what is wrong and what to do, for logs and for the terminal."""


class RecogniserFailed(EarsError):  # noqa: N818  # says what happened, not that it is an error
    """The recogniser broke down over one utterance; the next one is heard by a new one."""

    def __init__(self, recogniser: str, problem: str) -> None:
        super().__init__(recogniser, problem)
        self.recogniser, self.problem = recogniser, problem

    def __str__(self) -> str:
        return f"{self.recogniser}: {self.problem}"


class RecogniserTooSlow(RecogniserFailed):
    """The recogniser took longer than it may, and was stopped."""

    def __init__(self, recogniser: str, limit_s: float) -> None:
        super().__init__(recogniser, f"no answer within {limit_s:g} s")
        self.args = (recogniser, limit_s)
        self.limit_s = limit_s


class RecogniserDied(RecogniserFailed):
    """The recogniser's process has died, or been killed from outside."""

    def __init__(self, recogniser: str) -> None:
        super().__init__(recogniser, "its process has died")
        self.args = (recogniser,)


class RecogniserBusy(RecogniserFailed):
    """Every worker was busy with other utterances for as long as this one could wait."""

    def __init__(self, recogniser: str, limit_s: float) -> None:
        super().__init__(recogniser, f"busy for {limit_s:g} s")
        self.args = (recogniser, limit_s)
        self.limit_s = limit_s


class NotSound(EarsError):  # noqa: N818
    """A file or a body that cannot be heard: what is wrong with it, and what would mend it."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem, mend)
        self.problem, self.mend = problem, mend

    def __str__(self) -> str:
        return f"{self.problem}; {self.mend}"


class NoModel(EarsError):  # noqa: N818
    """A speech model is not where it was looked for, or lacks a part: what is wrong, and what to do."""

    def __init__(self, path: Path, problem: str, mend: str) -> None:
        super().__init__(path, problem, mend)
        self.path, self.problem, self.mend = path, problem, mend

    def __str__(self) -> str:
        return f"{self.path}: {self.problem}; {self.mend}"


class WordNotSayable(EarsError):  # noqa: N818
    """A grammar has words that the recogniser cannot listen for."""

    def __init__(self, recogniser: str, words: tuple[str, ...]) -> None:
        super().__init__(recogniser, words)
        self.recogniser, self.words = recogniser, words

    def __str__(self) -> str:
        return f"{self.recogniser} cannot listen for {', '.join(self.words)}; respell them in words it knows"


class NoMicrophone(EarsError):  # noqa: N818
    """Nothing to record with: what the sound system said, and what to do."""

    def __init__(self, problem: str, mend: str) -> None:
        super().__init__(problem, mend)
        self.problem, self.mend = problem, mend

    def __str__(self) -> str:
        return f"{self.problem}; {self.mend}"


class FetchFailed(EarsError):  # noqa: N818
    """A model could not be fetched whole: what went wrong, and what to do."""

    def __init__(self, name: str, problem: str, mend: str) -> None:
        super().__init__(name, problem, mend)
        self.name, self.problem, self.mend = name, problem, mend

    def __str__(self) -> str:
        return f"{self.name}: {self.problem}; {self.mend}"
