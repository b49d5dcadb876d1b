"""Which recogniser hears: the one asked for, or the best that is here."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest

from assistant.ears import choose
from assistant.ears.choose import AUTO, MODEL, POCKETSPHINX, VOSK, Plan, english_model
from assistant.ears.errors import NoModel
from grammar import jsgf, network

NETWORK = network.build(jsgf.parse("#JSGF V1.0;\ngrammar g;\npublic <s> = one gimlet | two gimlets;"))


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The only folder where models are looked for."""
    monkeypatch.setattr(choose, "model_folders", lambda: (tmp_path,))
    monkeypatch.delenv(MODEL, raising=False)
    return tmp_path


def put(shelf: Path, name: str, dynamic: bool = True) -> Path:
    """A folder that looks like a model from outside."""
    graph = shelf / name / "graph"
    graph.mkdir(parents=True)
    (graph / ("Gr.fst" if dynamic else "HCLG.fst")).touch()
    return shelf / name


def test_without_a_model_auto_takes_what_a_fresh_machine_has(shelf: Path) -> None:
    """Nothing to download: the recogniser that brings its model along."""
    assert english_model() is None
    assert Plan(NETWORK, AUTO)().name == "pocketsphinx"


def test_an_english_model_is_found(shelf: Path) -> None:
    """Other languages and models without run-time grammar are passed over; of two, the larger is taken."""
    put(shelf, "vosk-model-small-ko-0.22")
    put(shelf, "vosk-model-en-us-0.22", dynamic=False)
    small = put(shelf, "vosk-model-small-en-us-0.15")
    assert english_model() == small
    large = put(shelf, "vosk-model-en-us-0.22-lgraph")
    assert english_model() == large


def test_the_environment_says_which_model(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A bar may point at a model of its own, in any language."""
    put(shelf, "vosk-model-small-en-us-0.15")
    monkeypatch.setenv(MODEL, "/models/ours")
    assert english_model() == Path("/models/ours")
    with pytest.raises(NoModel, match="no such folder"):
        Plan(NETWORK, AUTO)()


def test_vosk_without_a_model_says_how_to_get_one(shelf: Path) -> None:
    """Asked for by name, it does not quietly become another."""
    with pytest.raises(NoModel, match="models fetch"):
        Plan(NETWORK, VOSK)()


def test_a_plan_travels_to_a_worker() -> None:
    """What is sent to another process comes out the same."""
    plan = Plan(NETWORK, POCKETSPHINX, lenient=True)
    assert pickle.loads(pickle.dumps(plan)) == plan
