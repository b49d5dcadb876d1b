"""The phrases without their small words, and which of them a text is most like."""

from __future__ import annotations

import pytest

from grammar import jsgf
from grammar.templates import CONTENT, SOFT, WORD, Fill, Part, Piece, Templates

RULES = """#JSGF V1.0; grammar bar; import <names.*>; import <values.*>;
public <ask> = [what's] the <cost> | skip [it] | <swap> | more <names.drink> {drink};
<cost> = (cost | price) of [the] <names.drink> {drink} {ask=cost};
<swap> = swap <names.thing> {out} for <names.thing> {in} {ask=swap} | (no <names.thing>) {text};
"""
WEIGHTS = {
    "what's": 0.0,
    "the": 0.0,
    "of": 0.0,
    "it": 0.0,
    "for": 0.0,
    "more": SOFT,
    "cost": WORD,
    "price": WORD,
    "skip": WORD,
}
ITEMS = {"names.drink", "names.thing"}


def weigh(label: str) -> float:
    """As the phrasebook would."""
    return WEIGHTS.get(label, WORD if label in ("swap", "no", "cost", "price", "skip") else CONTENT)


TEMPLATES = Templates(jsgf.parse(RULES), "ask", ITEMS, weigh)


def pieces(text: str) -> list[Piece]:
    """Pieces of a text in which names are in capitals: DRINK, THING."""
    made = []
    for at, word in enumerate(text.split()):
        label = {"DRINK": "names.drink", "THING": "names.thing"}.get(word, word)
        known = label in ITEMS or weigh(label) < CONTENT
        made.append(Piece(at, at + 1, {label: (Fill(f"{word}{at}"),)} if known else {}, weigh(label)))
    return made


def best(text: str) -> tuple[float, dict[str, str]] | None:
    """The cost and the slots of the template most like a text."""
    for match in TEMPLATES.nearest(pieces(text))[:1]:
        slots = dict(match.template.settings)
        slots |= {part.slot: str(piece.labels[part.label][0].value) for part, piece in match.taken if part.slot}
        return match.cost, slots
    return None


def test_small_words_make_no_template_of_their_own() -> None:
    """All ways to ask for the cost are two templates: one of 'cost', one of 'price'."""
    costs = [template for template in TEMPLATES.all if ("ask", "cost") in template.settings]
    assert [template.parts for template in costs] == [
        (Part("cost"), Part("names.drink", "drink")),
        (Part("price"), Part("names.drink", "drink")),
    ]


def test_whole_stretches_of_speech_make_none() -> None:
    """What takes words as they are said cannot be put together from its parts."""
    assert not any(("text", "") in template.settings for template in TEMPLATES.all)
    assert not any(part.label == "no" for template in TEMPLATES.all for part in template.parts)


@pytest.mark.parametrize(
    ("text", "slots"),
    [
        ("cost of DRINK", {"ask": "cost", "drink": "DRINK2"}),
        ("what's it cost for the DRINK", {"ask": "cost", "drink": "DRINK5"}),
        ("DRINK cost", {"ask": "cost", "drink": "DRINK0"}),
        (
            "swap the THING THING for".replace("THING THING", "THING for THING").removesuffix(" for"),
            {"out": "THING2", "in": "THING4", "ask": "swap"},
        ),
    ],
)
def test_small_words_and_order_may_differ(text: str, slots: dict[str, str]) -> None:
    """What bears the meaning is found, and slots of one kind are filled in their order."""
    found = best(text)
    assert found is not None
    assert found[1] == slots
    assert found[0] < 0.48


@pytest.mark.parametrize(
    ("nearer", "farther"),
    [
        ("cost of the DRINK", "DRINK the cost of"),
        ("cost of the DRINK", "cost more of the DRINK"),
        ("cost more of the DRINK", "cost swap of the DRINK"),
        ("cost swap of the DRINK", "cost weather of the DRINK"),
        ("skip", "skip more"),
    ],
)
def test_what_differs_more_costs_more(nearer: str, farther: str) -> None:
    """Order, soft words, other words, strangers: in that order."""
    near, far = best(nearer), best(farther)
    assert near is not None
    assert far is None or near[0] < far[0]


@pytest.mark.parametrize("text", ["weather", "the of it", "swap THING", "swap THING THING", "price"])
def test_what_lacks_the_meaning_is_like_none(text: str) -> None:
    """A slot that nothing fills, names that run together, and small words alone are no phrase."""
    found = best(text)
    assert found is None or found[0] >= CONTENT
