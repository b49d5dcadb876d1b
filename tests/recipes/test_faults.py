"""What is near enough to be suggested, and what is not."""

from __future__ import annotations

import pytest

from recipes.faults import nearest, write_instead

SHELF = ("gin", "aged rum", "dark rum", "lime juice", "lemon juice", "nuts", "peanuts", "rye whiskey")


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("gni", "gin"),
        ("Lime Juice", "lime juice"),
        ("lime jiuce", "lime juice"),
        ("nut", "nuts"),
        ("whiskey", "rye whiskey"),
        ("zzz", None),
        ("", None),
    ],
)
def test_the_nearest_name_is_suggested(word: str, expected: str | None) -> None:
    """A slip finds its name, a word finds the name that holds it, and nonsense finds nothing."""
    assert nearest(word, SHELF) == expected


def test_with_nothing_near_the_mend_says_what_else_to_do() -> None:
    """No guess is made for the sake of guessing."""
    assert write_instead("zzz", SHELF, "add it as a [[ingredient]]") == "add it as a [[ingredient]]"
