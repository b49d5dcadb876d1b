"""Sentences are found by the phones that were read off a sound."""

from __future__ import annotations

import math

import numpy as np
import pytest

from assistant.ears.phone_reader import PHONE_NUMBER, PhoneReading
from assistant.ears.phone_search import PhoneSearch, nearness
from grammar import jsgf, network
from grammar.sounds import Phones

WAYS: dict[str, tuple[Phones, ...]] = {
    "one": (("W", "AH", "N"),),
    "two": (("T", "UW"),),
    "gin": (("JH", "IH", "N"),),
    "gimlet": (("G", "IH", "M", "L", "AH", "T"),),
    "gimlets": (("G", "IH", "M", "L", "AH", "T", "S"),),
    "kiss": (("K", "IH", "S"),),
    "soda": (("S", "OW", "D", "AH"),),
    "either": (("IY", "DH", "ER"), ("AY", "DH", "ER")),
}
NETWORK = network.build(
    jsgf.parse(
        "#JSGF V1.0;\ngrammar g;\npublic <s> = [one | two] (gin | gimlet | gimlets) [soda] | kiss soda | either gin;"
    )
)


def reading(phones: str, sure: float = 0.9, apart: int = 2) -> PhoneReading:
    """Phones as they were read, each at one moment, with pauses between them; what was not read is unlikely."""
    said = phones.split()
    likely = np.full((len(said) * (apart + 1) + 1, len(PHONE_NUMBER)), 1e-3, np.float32)
    pause = np.full(len(likely), sure, np.float32)
    for place, phone in enumerate(said):
        likely[place * (apart + 1) + 1, PHONE_NUMBER[phone]] = sure
        pause[place * (apart + 1) + 1] = 1 - sure
    return PhoneReading(np.log(likely), np.log(pause))


def ways(word: str) -> tuple[Phones, ...]:
    """How these few words are said."""
    return WAYS[word]


@pytest.mark.parametrize(
    ("phones", "said"),
    [
        ("JH IH N", "gin"),
        ("T UW G IH M L AH T S", "two gimlets"),
        ("W AH N G IH M L AH T S OW D AH", "one gimlet soda"),
        ("K IH S S OW D AH", "kiss soda"),
        ("IY DH ER JH IH N", "either gin"),
        ("AY DH ER JH IH N", "either gin"),
        ("T UW G IH N L AH T S", "two gimlets"),
        ("T UW G IH L AH T S", "two gimlets"),
    ],
)
def test_the_nearest_sentence_is_found(phones: str, said: str) -> None:
    """Word for word, in any way that a word is said, and over a phone that was misread or not read."""
    found = PhoneSearch(NETWORK, ways).sentences(reading(phones), 5, 10)
    assert " ".join(found[0].words) == said
    assert found[0].score <= 0


def test_others_follow_by_how_near_they_are() -> None:
    """None comes twice; by itself a sentence is as near as it was told to be, or nearer, and the first just so near."""
    sound = reading("T UW G IH M L AH T S")
    found = PhoneSearch(NETWORK, ways).sentences(sound, 20, math.inf)
    scores = [each.score for each in found]
    assert scores == sorted(scores, reverse=True)
    assert len({each.words for each in found}) == len(found) > 5
    alone = nearness([each.words for each in found], ways, sound)
    assert all(alone[each.words] >= each.score - 1e-3 for each in found)
    assert alone[found[0].words] == pytest.approx(found[0].score, abs=1e-3)


def test_a_sentence_longer_than_the_sound_has_no_score() -> None:
    """It is left out, whoever heard it; the others keep theirs."""
    found = nearness([("gin",), ("two", "gimlets", "soda")], ways, reading("JH IH N", apart=1))
    assert list(found) == [("gin",)]
    assert nearness([], ways, reading("JH IH N")) == {}


def test_a_sound_shorter_than_any_sentence_has_none() -> None:
    """A click is no command."""
    nothing = PhoneReading(np.zeros((0, len(PHONE_NUMBER)), np.float32), np.zeros(0, np.float32))
    assert PhoneSearch(NETWORK, ways).sentences(nothing, 5, 10) == []


def test_speech_of_something_else_falls_far_behind() -> None:
    """What fits no sentence is forced into one, and its score shows it."""
    search = PhoneSearch(NETWORK, ways)
    fits, does_not = (search.sentences(reading(said), 1, 10)[0].score for said in ("JH IH N", "F AO R K AA V ER Z"))
    assert does_not < fits - 20
