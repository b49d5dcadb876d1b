"""Names come back as they are written, however the book has them listened for."""

from __future__ import annotations

import pytest

from grammar.names import Name, Names
from grammar.respellings import Respellings

RESPELLINGS = Respellings(
    Names(
        drink=(
            Name("Vieux Carré", sounds_like=("view car ay", "view car ray")),
            Name("Mojito", sounds_like=("mo he toe",)),
        ),
        ingredient=(Name("falernum", sounds_like=("full earn um",)), Name("orgeat", sounds_like=("or shah", "or jet"))),
    )
)


@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("eighty six the full earn um", "eighty six the falernum"),
        ("what's in a view car ray", "what's in a vieux carre"),
        ("batch ten mo he toes", "batch ten mojitos"),
        ("or shah or or jet", "orgeat or orgeat"),
        ("what's in a gimlet", "what's in a gimlet"),
        ("full earn", "full earn"),
        ("", ""),
    ],
)
def test_a_name_is_put_back_as_it_is_written(heard: str, written: str) -> None:
    """One or more, anywhere in a sentence; what is no whole respelling stays."""
    assert RESPELLINGS.written(heard) == written


def test_a_book_that_respells_nothing_changes_nothing() -> None:
    """Every word stays."""
    assert Respellings(Names()).written("what's in a gimlet") == "what's in a gimlet"
