"""What is said of allergens, egg, alcohol and other cautions: CONTAINS, and the cautions beside every drink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

from assistant.answers import vegan
from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.speech import counted, joined, number, sentence, some
from assistant.messages import Card, Note, Reply, Row, Table, Tone
from grammar.command import Command, Intent
from recipes.balance import Balance, balance
from recipes.mixing import Lack
from recipes.model import Book, Drink, Pour
from recipes.safety import (
    ASKED_FOR,
    VEGAN,
    Caution,
    Finding,
    Hazard,
    Verdict,
    contains_ingredient,
    contents,
    drink_cautions,
    drinks_by_content,
    names_in,
    verdict_on,
)

STANDING = "This is what our book says. Labels, your local code and licensed practice decide."
ALL_OF_THEM = "allergens"  # the word of a question about all that a thing holds, not about one of them
ASK = "Unknown is not safe: read the label or ask the maker before you pour."
CHECK = "Check the labels for a guest with an allergy."
WHICH = frozenset({"which", "free"})  # parts that ask for a list of drinks
NAMED_ALOUD = 4
STRONG_FROM = Decimal(2)  # US standard drinks in one glass (house choice)

_SIGNS: dict[Finding, Tone] = {Finding.YES: "warn", Finding.NO: "plain", Finding.UNKNOWN: "warn"}


def caution_lines(drink: Drink, book: Book) -> tuple[str, ...]:
    """The cautions that go with a drink, one sentence each, gravest first; none at all is an empty tuple."""
    lines = [_caution_line(caution) for caution in drink_cautions(drink, book)]
    return (*lines, *_strength_line(drink, book))


def poured_cautions(drink: Drink, pours: tuple[Pour, ...], book: Book) -> tuple[str, ...]:
    """The cautions that go with some of a drink's pours alone: the raw egg that was asked for."""
    return tuple(_caution_line(caution) for caution in drink_cautions(replace(drink, pours=pours, garnish=()), book))


def _caution_line(caution: Caution) -> str:
    names = joined(caution.names)
    match caution.hazard:
        case Hazard.RAW_EGG:
            return (
                f"Raw egg ({names}): tell the guest, use pasteurised egg where your code asks, never for those at risk."
            )
        case Hazard.ALLERGENS:
            return f"Allergens by our data: {names}. Read the labels."
        case Hazard.UNKNOWN_ALLERGENS:
            return f"Allergens unknown, ask: {names}."
        case Hazard.INGREDIENT:
            return sentence(caution.note)


def _strength_line(drink: Drink, book: Book) -> tuple[str, ...]:
    found = balance(drink, book)
    if found.standard is None:
        return (f"Strength unknown, ask: {joined(_unmeasured(found))}.",)
    if found.standard.us < STRONG_FROM:
        return ()
    halves = (found.standard.us * 2).to_integral_value(ROUND_HALF_UP) / 2
    return (f"Strong: about {number(halves)} US standard drinks in one glass.",)


def _unmeasured(found: Balance) -> tuple[str, ...]:
    """What keeps a drink's strength from being known."""
    return tuple(dict.fromkeys(gap.ingredient for gap in found.gaps if gap.lack in (Lack.ABV, Lack.AMOUNT)))


def contains(command: Command, scene: Scene) -> Answer:
    """'Is there nuts in it?': yes, no by our data, or unknown; and the caution each time."""
    if command.slots.get("part") in WHICH:
        return _which_drinks(command, scene)
    subject, names = _subject(command, scene)
    asked, verdict = _verdict(command, names, scene.book)
    focus = scene.focus
    if "drink" in command.slots and subject == command.slots["drink"]:
        focus = replace(focus, drink=subject)
    if verdict is None and asked:
        say = f"I keep no list of {asked}, so for the {subject} that is unknown: ask, and read the labels."
        return Answer(Reply(say, _card(subject, names, None, scene.book), (STANDING,)), focus)
    say = _answered(subject, verdict) if verdict else _all_allergens(subject, names, scene.book)
    return Answer(Reply(say, _card(subject, names, verdict, scene.book), (STANDING,)), focus)


def _subject(command: Command, scene: Scene) -> tuple[str, tuple[str, ...]]:
    """What is asked about, and the ingredients in it: an ingredient with an allergen word, else the drink."""
    slots = command.slots
    if "ingredient" in slots and ("text" in slots or "drink" not in slots):
        return str(slots["ingredient"]), (str(slots["ingredient"]),)
    drink = scene.book.drinks[str(slots["drink"])]
    return drink.name, names_in(drink)


def _verdict(command: Command, names: tuple[str, ...], book: Book) -> tuple[str, Verdict | None]:
    asked = str(command.slots.get("text", "")).casefold()
    if asked == ALL_OF_THEM:
        return "", None
    if asked in ASKED_FOR or asked in (VEGAN, "alcohol"):
        return asked, verdict_on(names, asked, book)
    if not asked and "ingredient" in command.slots and "drink" in command.slots:
        wanted = str(command.slots["ingredient"])
        return wanted, contains_ingredient(names, wanted, book)
    return asked, None


def _which_drinks(command: Command, scene: Scene) -> Answer:
    """'Which drinks have nuts?', 'what is nut free?': every drink by what is known of it, the unknown ones named."""
    asked = str(command.slots.get("text", "")).casefold()
    found: dict[Finding, list[tuple[str, Verdict]]] = {Finding.YES: [], Finding.UNKNOWN: [], Finding.NO: []}
    for drink, verdict in drinks_by_content(asked, scene.book):
        found[verdict.finding].append((drink.name, verdict))
    yes, unknown, no = ([name for name, _ in drinks] for drinks in found.values())
    free = command.slots.get("part") == "free"
    if asked == VEGAN:
        told = vegan.drinks_said(yes, unknown, no, free)
    else:
        told = _those_without(asked, yes, unknown, no) if free else _those_with(asked, yes, unknown)
    order = (Finding.NO, Finding.UNKNOWN, Finding.YES) if free else (Finding.YES, Finding.UNKNOWN)
    tables = tuple(_listed(asked, finding, found[finding]) for finding in order if found[finding])
    card = Card("contains", "For a vegan guest" if asked == VEGAN else f"Drinks and {asked}", blocks=tables)
    return Answer(Reply(" ".join(told), card, (STANDING,)), scene.focus)


def _listed(asked: str, finding: Finding, drinks: Sequence[tuple[str, Verdict]]) -> Table:
    """The drinks of one finding, and what tells it."""
    rows = tuple(Row(name, (_because(verdict),), tone=_SIGNS[finding]) for name, verdict in drinks)
    title = vegan.TITLES[finding] if asked == VEGAN else f"{asked}: {finding.value}"
    return Table(rows, ("Drink", "Because of"), title)


def _because(verdict: Verdict) -> str:
    if verdict.finding is Finding.UNKNOWN:
        return f"unknown: {joined(verdict.unknown)}"
    return joined(verdict.holders) or "no by our data"


def _those_with(asked: str, yes: list[str], unknown: list[str]) -> list[str]:
    known = (
        f"{counted(len(yes), 'drink').capitalize()} with {asked} by our data: {some(yes, NAMED_ALOUD)}." if yes else ""
    )
    rest = f"Unknown in {counted(len(unknown), 'other' if yes else 'drink')}: {some(unknown, NAMED_ALOUD)}. {ASK}"
    if not unknown:
        return [known or f"No drink has {asked} by our data.", CHECK]
    return [known, rest] if known else [f"None that I know of has {asked}.", rest]


def _those_without(asked: str, yes: list[str], unknown: list[str], no: list[str]) -> list[str]:
    drinks = counted(len(no), "drink").capitalize()
    known = f"{drinks} without {asked} by our data: {some(no, NAMED_ALOUD)}." if no else ""
    rest = [f"Unknown in {counted(len(unknown), 'other')}, so do not offer those without asking."] if unknown else []
    return [known or f"No drink is without {asked} for certain.", *rest, CHECK]


def _answered(subject: str, verdict: Verdict) -> str:
    return vegan.drink_said(subject, verdict) if verdict.asked == VEGAN else _spoken(subject, verdict)


def _spoken(subject: str, verdict: Verdict) -> str:
    match verdict.finding:
        case Finding.YES:
            through = "" if verdict.holders == (subject,) else f" in the {subject}, from {joined(verdict.holders)}"
            return f"Yes, {verdict.asked}{through}."
        case Finding.NO:
            labels = "Check the labels." if verdict.asked == "alcohol" else CHECK
            return f"No {verdict.asked} in the {subject} by our data. {labels}"
        case Finding.UNKNOWN:
            return f"Unknown: I have nothing on {joined(verdict.unknown)} in the {subject}. {ASK}"


def _all_allergens(subject: str, names: tuple[str, ...], book: Book) -> str:
    inside = contents(names, book)
    known = f"The {subject} holds {joined(tuple(inside.by_allergen))}" if inside.by_allergen else ""
    if inside.unknown:
        rest = f"unknown for {joined(inside.unknown)}"
        return f"{known}; {rest}. {ASK}" if known else f"The {subject}: allergens {rest}. {ASK}"
    return (
        f"{known} by our data. {CHECK}"
        if known
        else f"The {subject} has no listed allergen by our data. Check the labels."
    )


def _card(subject: str, names: tuple[str, ...], verdict: Verdict | None, book: Book) -> Card:
    inside = contents(names, book)
    rows = [Row(allergen, (joined(holders),), tone="warn") for allergen, holders in inside.by_allergen.items()]
    rows += [Row("unknown, ask", (name,), tone="warn") for name in inside.unknown]
    if not rows:
        rows = [Row("none listed by our data", ("",))]
    answer = (Note(_in_short(verdict), _SIGNS[verdict.finding]),) if verdict else ()
    return Card("contains", subject, blocks=(*answer, Table(tuple(rows), title="Allergens")))


def _in_short(verdict: Verdict) -> str:
    return vegan.TITLES[verdict.finding] if verdict.asked == VEGAN else f"{verdict.asked}: {verdict.finding.value}"


HANDLERS: dict[Intent, Handler] = {Intent.CONTAINS: contains}
