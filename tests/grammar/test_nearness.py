"""Which names and words come nearest to what was typed or heard."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.nearness import NearNames, NearWords
from grammar.sounds import Voice
from grammar.wordings import Wordings
from tests.grammar.book_names import NAMES

ENGLISH = {
    "tied": "T AY D",
    "tide": "T AY D",
    "rack": "R AE K",
    "sidebar": "S AY D B AA R",
    "side": "S AY D",
    "car": "K AA R",
    "outside": "AW T S AY D",
    "bees": "B IY Z",
    "knees": "N IY Z",
    "niece": "N IY S",
    "cola": "K OW L AH",
    "cold": "K OW L D",
}
NEAR = NearNames(Wordings(NAMES), Voice(ENGLISH))
GUESSING = NearNames(Wordings(NAMES), Voice())

CLOSE = [
    ("gimlit", "Gimlet"),
    ("gimelt", "Gimlet"),
    ("daquiri", "Daiquiri"),
    ("manhatten", "Manhattan"),
    ("bulevardier", "Boulevardier"),
    ("negronny", "Negroni"),
    ("monkey glend", "Monkey Gland"),
    ("sidecar", "Sidecar"),
    ("side car", "Sidecar"),
    ("tied rack", "Tidewrack"),
    ("bees niece", "Bee's Knees"),
    ("oregat", "orgeat"),
    ("mezkal", "mezcal"),
]
NOT_CLOSE = [
    "sidebar",
    "outside",
    "gimbal",
    "cosmopolitan",
    "cold",
    "lemongrass",
    "gun",
    "paloma",
    "white russian",
    "gimletting",
]


@pytest.mark.parametrize(("said", "name"), CLOSE)
def test_a_slip_or_a_sound_alike_is_the_name(said: str, name: str) -> None:
    """Letters that slipped, words that sound the same, a name written as two words or one."""
    first = NEAR.to(said.split())[0]
    assert first.wording.canonical == name
    assert first.close


@pytest.mark.parametrize("said", NOT_CLOSE)
def test_another_word_is_not(said: str) -> None:
    """An English word, or the name of another drink, may be offered but is not taken for one of ours."""
    assert not any(near.close for near in NEAR.to(said.split()))


@pytest.mark.parametrize("names", [NEAR, GUESSING])
@pytest.mark.parametrize("said", [*(said for said, _ in CLOSE), *NOT_CLOSE, *ENGLISH])
def test_looking_for_the_close_alone_misses_none(names: NearNames, said: str) -> None:
    """What is looked for in haste is what is found at leisure."""
    assert names.close(said.split()) == [near for near in names.to(said.split()) if near.close]


def test_without_a_dictionary_a_long_way_is_still_a_long_way() -> None:
    """Guessing by letters alone is no excuse for taking any word for a name."""
    for said in ("cosmopolitan", "weather", "gimbal", "lemongrass"):
        assert not any(near.close for near in GUESSING.to([said])), said


@settings(deadline=None)
@given(st.lists(st.text(max_size=12), max_size=4))
def test_anything_may_be_compared(said: list[str]) -> None:
    """Likeness is between nothing and all, best first among the close, each name once."""
    found = NEAR.to(said)
    assert all(0 <= near.likeness <= 1 for near in found)
    names = [(near.wording.kind, near.wording.canonical) for near in found]
    assert len(names) == len(set(names))


class TestNearWords:
    """Words of the phrases."""

    WORDS = NearWords({"what", "how", "garnish", "batch", "spec", "could"}, {"what", "how", "could"}, Voice(ENGLISH))

    @pytest.mark.parametrize(
        ("said", "meant"),
        [
            ("garnsih", {"garnish"}),
            ("btach", {"batch"}),
            ("speck", {"spec"}),
            ("waht", {"what"}),
            ("hwo", {"how"}),
            ("cold", set()),
            ("xyz", set()),
            ("no", set()),
        ],
    )
    def test_a_slip_of_a_word(self, said: str, meant: set[str]) -> None:
        """Small words are taken only for their own letters in another order; English words for none."""
        assert set(self.WORDS.to(said)) == meant
