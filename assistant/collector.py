"""Python's collector of garbage, kept from what stays: a book and its phrases are half a million objects."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def at_rest() -> Iterator[None]:
    """While much is made that stays: looking through it again and again takes longer than making it."""
    was_at_work = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_at_work:
            gc.enable()


def spare_what_is_there() -> None:
    """Never look through what is there now; what nothing holds any longer is let go of as before."""
    gc.freeze()
