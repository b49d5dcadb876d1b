"""Whatever is in a grammar file, it is a network or a fault with a line and a mend, never a failure."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from grammar import jsgf, network
from grammar.errors import JsgfError

HEAD = "#JSGF V1.0;\ngrammar bar;\n"
WHOLE = (
    HEAD
    + 'import <other.*>;\npublic <s> = a [b] (c | /2/ d)* <t>+ {tag} "q r" /* no */;\n'
    + "<t> = e <t> | <NULL> | <VOID>; // end"
)
PIECES = st.sampled_from(
    (
        *'<>[](){}|*+/;="\\#. \n\x00',
        "/*",
        "*/",
        "//",
        "public ",
        "import ",
        "<s>",
        "<t>",
        "/1e999/",
        "/-1/",
        "/nan/",
        "((((",
        "a",
    )
)


def is_told(text: str) -> bool:
    """Parsed and built; or else there is a fault with a line of the text, and a mend."""
    try:
        network.build(jsgf.parse(text))
    except JsgfError as fault:
        return bool(1 <= fault.line <= text.count("\n") + 1 and fault.problem and fault.mend)
    return True


@settings(max_examples=300, deadline=None)
@given(
    cut=st.tuples(st.integers(0, len(WHOLE)), st.integers(0, 8)),
    pieces=st.lists(PIECES, max_size=4),
    more=st.booleans(),
)
def test_a_damaged_grammar_is_told(cut: tuple[int, int], pieces: list[str], more: bool) -> None:
    """A grammar with some letters lost and others put in."""
    at, length = cut
    damaged = WHOLE[:at] + "".join(pieces) + WHOLE[at + length :]
    assert is_told(damaged if more else damaged.replace("import <other.*>;", ""))


@settings(max_examples=300, deadline=None)
@given(body=st.lists(PIECES | st.text(max_size=3), max_size=20).map("".join))
def test_any_text_after_the_head_is_told(body: str) -> None:
    """Marks of the format in any order, and any letters between them."""
    assert is_told(HEAD + body)


@settings(max_examples=100, deadline=None)
@given(text=st.text(max_size=80))
def test_any_text_at_all_is_told(text: str) -> None:
    """Also what was never meant for a grammar."""
    assert is_told(text)
