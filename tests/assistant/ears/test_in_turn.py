"""While a question of the quiz is open, its answers are listened for, and nothing else."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assistant.ears.base import RATE, Sound
from assistant.ears.in_turn import InTurn
from assistant.ears.scripted import Scripted
from assistant.services import Services

SOUND = Sound(np.zeros(RATE, np.float32))


@pytest.fixture
def services(tmp_path: Path) -> Services:
    """The assistant, hearing 'a command' or 'an answer'."""
    found = Services(database_url=f"sqlite:///{tmp_path / 'shift.db'}")
    found.recogniser = InTurn(Scripted(["a command"] * 3), Scripted(["an answer"] * 3))
    return found


def test_answers_are_listened_for_only_while_a_question_is_open(services: Services) -> None:
    """Before the quiz and after it commands are."""
    assert services.hear(SOUND, "trainee").text == "a command"
    services.ask("quiz me", "trainee")
    assert services.hear(SOUND, "trainee").text == "an answer"
    services.ask("stop", "trainee")
    assert services.hear(SOUND, "trainee").text == "a command"
    services.close()


def test_a_trainees_quiz_is_not_the_bartenders(services: Services) -> None:
    """Whoever asks on another device is heard as ever."""
    services.ask("quiz me", "trainee")
    assert services.hear(SOUND, "bartender").text == "a command"
    services.close()


@pytest.mark.parametrize(
    ("said", "is_command", "is_answer"),
    [
        ("two ounces gin and three quarters lime", False, True),
        ("half an ounce", False, True),
        ("a coupe", False, True),
        ("it's a daisy", False, True),
        ("orange liqueur", True, True),
        ("skip", True, True),
        ("stop", True, True),
        ("how am i doing", True, True),
        ("what's in a gimlet", True, False),
        ("batch forty daiquiris", True, False),
    ],
)
def test_what_can_be_said_when(services: Services, said: str, is_command: bool, is_answer: bool) -> None:
    """A build is no command, and a command would give an answer away."""
    plan = services.ear_plan()
    assert plan.in_quiz is not None
    assert plan.network.accepts(said.split()) is is_command
    assert plan.in_quiz.accepts(said.split()) is is_answer
    services.close()
