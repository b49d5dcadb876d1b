"""A speaker who puts himself right: 'the glass for a fizz, sorry, a gin rickey'; 'gin is thirty, no wait, thirty two'.

What was wrong stands just before the words that take it back, and what is right just after them. Nobody says where the
wrong part begins, so each place is tried, the nearest first, until the rest is a phrase word for word.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

# Words that take back what was just said, the longer first. Others ('rather', 'actually') do other work as well.
TAKES_BACK = (("no", "wait"), ("i", "mean"), ("i", "meant"), ("make", "that"), ("sorry",), ("no", "sorry"))
LONGEST = 6  # words that are taken back
ARTICLES = frozenset({"a", "an", "the", "some"})


def put_right(words: Sequence[str], is_name_or_number: Callable[[int], bool]) -> Iterator[tuple[int, int]]:
    """From where up to where words may be left out of a text, the fewest first.

    What is put right is a name or a number: else 'no mezcal, sorry, what instead' would lose its mezcal.
    `is_name_or_number` tells whether one begins at a word.
    """
    for at, length in _takings_back(words):
        right = at + length
        begins = right + 1 if right < len(words) and words[right] in ARTICLES else right
        if begins >= len(words) or not is_name_or_number(begins):
            continue
        for wrong in range(1, min(LONGEST, at) + 1):
            yield at - wrong, right


def _takings_back(words: Sequence[str]) -> Iterator[tuple[int, int]]:
    """Where words take something back, and how many they are."""
    for at in range(1, len(words)):
        fitting = [len(each) for each in TAKES_BACK if tuple(words[at : at + len(each)]) == each]
        if fitting:
            yield at, max(fitting)
