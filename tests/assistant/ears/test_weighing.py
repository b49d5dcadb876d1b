"""What two listeners hold of a sentence decides whether it is acted on, asked about, or nothing."""

from __future__ import annotations

import pytest

from assistant.ears.weighing import FEW_WORDS, MANY_NAMES, Candidate, Weights, choose
from assistant.reading import SURE


def candidate(text: str, heard: bool, phones: float) -> Candidate:
    """A sentence that PocketSphinx heard or not."""
    return Candidate(text, heard, phones)


BOTH = pytest.mark.parametrize("weights", [FEW_WORDS, MANY_NAMES], ids=["few words", "many names"])


@BOTH
def test_agreement_is_sure(weights: Weights) -> None:
    """What both hear, near to the phones, is acted on."""
    text, sure, others = choose([candidate("two gimlets", True, -5), candidate("two gins", False, -20)], weights)
    assert (text, others) == ("two gimlets", ("two gins",))
    assert sure > SURE


def test_disagreement_asks() -> None:
    """What only one of them favours is not acted on, and the other reading is at hand to be asked about."""
    text, sure, others = choose([candidate("two gimlets", True, -60), candidate("two negronis", False, -34)], FEW_WORDS)
    assert {text, *others} == {"two gimlets", "two negronis"}
    assert sure < SURE


@BOTH
def test_talk_of_something_else_is_not_sure(weights: Weights) -> None:
    """However clear the choice is: a sentence far from what was said was not said."""
    _, sure, _ = choose([candidate("two gimlets", True, -60)], weights)
    assert sure < 0.01


def test_nothing_heard_is_nothing() -> None:
    """Without any sentence there is none to be sure of."""
    assert choose([], FEW_WORDS) == ("", 0.0, ())


@BOTH
def test_the_louder_the_room_the_less_sure(weights: Weights) -> None:
    """The same agreement is worth less in a noise in which more is misheard."""
    found = [candidate("two gimlets", True, -14), candidate("two gins", False, -16)]
    in_quiet, in_noise = (choose(found, weights, above_room_db)[1] for above_room_db in (40, 15))
    assert in_quiet > in_noise
    assert choose(found, weights, 70)[1] == in_quiet
