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
def test_sentences_that_mean_the_same_do_not_doubt_each_other(weights: Weights) -> None:
    """Which of two wordings was said is nobody's question, and is not asked."""
    found = [candidate("old fashion", False, -5), candidate("old fashioned", False, -5), candidate("ox", False, -30)]
    assert choose(found, weights)[1] < SURE
    text, sure, others = choose(found, weights, meaning=lambda text: text[:3])
    assert (text, others) == ("old fashion", ("ox",))
    assert sure > SURE


@BOTH
def test_talk_of_something_else_is_not_sure(weights: Weights) -> None:
    """However clear the choice is: a sentence far from what was said was not said."""
    _, sure, _ = choose([candidate("two gimlets", True, -60)], weights)
    assert sure < 0.01


def test_nothing_heard_is_nothing() -> None:
    """Without any sentence there is none to be sure of."""
    assert choose([], FEW_WORDS) == ("", 0.0, ())
