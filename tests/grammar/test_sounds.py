"""How words sound, and how far two sounds are apart."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.sounds import PHONES, Voice, distance, likeness


class TestVoice:
    """A dictionary first, then what can be made of it, then the letters."""

    VOICE = Voice({"orgeat": "AO R ZH AA", "daisy": "D EY Z IY", "tide": "T AY D", "rack": "R AE K", "odd": "AA @ D"})

    @pytest.mark.parametrize(
        ("word", "phones"),
        [
            ("orgeat", "AO R ZH AA"),
            ("orgeats", "AO R ZH AA Z"),
            ("daisies", "D EY Z IY Z"),
            ("racks", "R AE K S"),
            ("tiderack", "T AY D R AE K"),
            ("odd", "AA D"),
            ("gin", "JH IH N"),
        ],
    )
    def test_a_word_is_said(self, word: str, phones: str) -> None:
        """As the dictionary has it, as more than one of it, as two of its words, or by its letters."""
        assert self.VOICE.word(word) == tuple(phones.split())

    def test_words_run_together(self) -> None:
        """A name is the sounds of its words."""
        assert self.VOICE.phrase(["tide", "rack"]) == ("T", "AY", "D", "R", "AE", "K")

    def test_it_knows_english_from_the_rest(self) -> None:
        """A word of the dictionary is no slip."""
        assert self.VOICE.knows("tide")
        assert not self.VOICE.knows("tdie")


phones = st.lists(st.sampled_from(sorted(PHONES)), max_size=8)


class TestDistance:
    """The weighted edit distance of phones."""

    @settings(deadline=None)
    @given(phones, phones)
    def test_it_is_a_distance(self, one: list[str], other: list[str]) -> None:
        """Nothing to itself, the same both ways, never below nothing."""
        assert distance(one, one) == 0
        assert distance(one, other) == pytest.approx(distance(other, one))
        assert distance(one, other) >= 0

    @settings(deadline=None)
    @given(phones, phones, phones)
    def test_a_detour_is_no_shortcut(self, one: list[str], other: list[str], third: list[str]) -> None:
        """Going by a third sound is never nearer by more than the confusions are uneven."""
        assert distance(one, other) <= distance(one, third) + distance(third, other) + 0.5 * max(len(one), len(other))

    @settings(deadline=None)
    @given(phones, phones)
    def test_likeness_is_between_nothing_and_all(self, one: list[str], other: list[str]) -> None:
        """One is the same, zero nothing in common."""
        assert 0 <= likeness(one, other) <= 1

    @pytest.mark.parametrize(
        ("nearer", "farther"),
        [
            ("B IH N", "K IH N"),
            ("P EH N", "P OW N"),
            ("P IH M", "P IH S"),
            ("HH P IH N", "S P IH N"),
        ],
    )
    def test_what_ears_confuse_is_near(self, nearer: str, farther: str) -> None:
        """Voicing, neighbouring vowels, nasals and a breath count less than other phones."""
        said = ["P", "IH", "N"]
        assert distance(said, nearer.split()) < distance(said, farther.split())
