"""Every error of the ears is of one family, says what to do, and survives the way from a worker."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from assistant.ears import errors
from assistant.ears.errors import EarsError

EXAMPLES: tuple[EarsError, ...] = (
    errors.RecogniserFailed("vosk", "its process has died"),
    errors.RecogniserTooSlow("vosk", 2.0),
    errors.RecogniserDied("vosk"),
    errors.RecogniserBusy("vosk", 2.0),
    errors.NotSound("the recording is empty", "record it again"),
    errors.NoModel(Path("/models/small"), "there is no such folder", "fetch one"),
    errors.WordNotSayable("pocketsphinx", ("7up", "№")),
    errors.NoMicrophone("nothing is plugged in", "plug one in"),
    errors.FetchFailed("small", "no network", "join one"),
)


def test_no_error_is_forgotten_here() -> None:
    """Each kind of error has an example below."""
    kinds = {kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, EarsError)}
    assert kinds - {EarsError} == {type(example) for example in EXAMPLES}


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: type(error).__name__)
def test_an_error_travels_whole(error: EarsError) -> None:
    """What a worker raises is the same error to the server, with its fields."""
    copy = pickle.loads(pickle.dumps(error))
    assert (type(copy), vars(copy), str(copy)) == (type(error), vars(error), str(error))


@pytest.mark.parametrize("error", EXAMPLES, ids=lambda error: type(error).__name__)
def test_an_error_tells_its_fields(error: EarsError) -> None:
    """Its line names what it is about."""
    told = [field for field in vars(error).values() if isinstance(field, str)]
    assert told
    assert all(field in str(error) for field in told if field)
