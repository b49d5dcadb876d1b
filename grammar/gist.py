"""What a sentence comes down to: readings that differ only in words which change no command are one reading.

'What's in the gimlets' and 'what is in a gimlet' say no doubt of each other; 'is' and 'isn't' do.
"""

from __future__ import annotations

EMPTY = frozenset(
    {
        *("a", "an", "the", "that", "this", "our", "my", "it", "i", "we", "you"),
        *("is", "are", "do", "does", "of", "on", "for", "in", "to", "us"),
        *("and", "okay", "please"),
    }
)
SHORTEST_PLURAL = 4  # letters


def gist(text: str) -> str:
    """The letters of the words that count, each in the singular; of a text that has none, all of it."""
    words = [_plain(word) for word in text.split()]
    return "".join(word for word in words if word not in EMPTY) or text


def _plain(word: str) -> str:
    """Without "'s" and the like, which are empty words, and without the ending of a plural."""
    before, apostrophe, after = word.partition("'")
    word = before if apostrophe and after != "t" else word
    is_plural = word.endswith("s") and len(word) >= SHORTEST_PLURAL and word not in EMPTY
    return word[:-1] if is_plural else word
