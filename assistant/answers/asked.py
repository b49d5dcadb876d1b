"""How a command is put when it is asked back: 'the spec for the Gimlet', 'what the Gimlet costs'.

Each is what may follow "Did you mean": a thing, a question turned round, or what somebody says to be so. Every slot is
in the words, so that two commands that differ are told apart.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from string import Formatter

from assistant.answers.speech import amount, article, counted, joined, money, number, percent, plural
from grammar.command import Command, Intent, SlotValue
from recipes.model import Book
from recipes.units import Amount, Unit, quantity

# For each intent its forms, tried from the top: the slots that must be there, with their values where these count, and
# the words. What stands in braces is a slot, or one of `_phrases` below.
_Form = tuple[str, str]
_FORMS: Mapping[Intent, tuple[_Form, ...]] = {
    Intent.SPEC: (
        ("text=other", "the other drink"),
        ("part", "the {part} for {drink}"),
        ("ingredient", "the recipe for {ingredient}"),
        ("", "the spec for {drink}"),
    ),
    Intent.AMOUNT: (
        ("role", "how much of the {role} is in {many}"),
        ("", "how much {ingredient} is in {many}"),
    ),
    Intent.BUILD: (("ingredient", "the steps for {ingredient}"), ("", "the steps for {drink}")),
    Intent.NEXT_STEP: (("", "the next step"),),
    Intent.PREVIOUS_STEP: (("", "the step before"),),
    Intent.REPEAT: (("text", "that again, slowly"), ("", "that again")),
    Intent.SCALE: (
        ("amount ingredient", "how many {drinks} come from {measure} of {ingredient}"),
        ("amount", "{measure} of {drink}"),
        ("", "{many}"),
    ),
    Intent.ORDER: (("drink", "{all_together}"), ("", "an order")),
    Intent.UNITS: (("drink", "{drink} in {unit}"), ("", "the amounts in {unit}")),
    Intent.WITHOUT: (("role", "{drink} without the {role}"), ("", "{drink} without {ingredient}")),
    Intent.COST: (
        ("text=over", "which drinks have a pour cost over {percent}"),
        ("text=under", "which drinks have a pour cost under {percent}"),
        ("text=menu", "what the menu costs"),
        ("text=mix", "which drinks sell and which earn"),
        ("text=moves", "which price moves hurt most"),
        ("ingredient amount", "what {measure} of {ingredient} costs"),
        ("ingredient unit", "what {ingredient} costs by the {unit}"),
        ("ingredient", "what {ingredient} costs"),
        ("", "what {drink} costs"),
    ),
    Intent.PRICE_FOR_TARGET: (
        ("percent", "a price for {drink} at {percent} pour cost"),
        ("", "a price for {drink}"),
    ),
    Intent.WHAT_IF_PRICE: (
        ("percent drink", "what {drink} costs if {ingredient} goes {text} by {percent}"),
        ("percent", "what happens if {ingredient} goes {text} by {percent}"),
        ("drink", "what {drink} costs if {ingredient} is {money}"),
        ("", "what happens if {ingredient} costs {money}"),
    ),
    Intent.SET_PRICE: (("", "that {ingredient} now costs {money}"),),
    Intent.BATCH: (
        ("text", "a keg of {many}"),
        ("amount", "a batch of {measure} of {drink}"),
        ("", "a batch of {many}"),
    ),
    Intent.BALANCE: (("part", "the {part} of {drink}"), ("", "the balance of {drink}")),
    Intent.RANK: (
        ("part=sold text=least", "which drinks sell worst"),
        ("part=sold", "which drinks sell best"),
        ("text=least", "which drinks have the least {part}"),
        ("", "which drinks have the most {part}"),
    ),
    Intent.LIST: (
        ("shelf", "the drinks of {shelf}"),
        ("drink", "drinks like {drink}"),
        ("part text", "the drinks by {part}, {text}"),
        ("", "what is on the menu"),
    ),
    Intent.FAMILY: (
        ("family text=why", "whether {drink} is {a_family}"),
        ("family", "what {a_family} is"),
        ("", "which family {drink} is in"),
    ),
    Intent.RIFF: (
        ("text", 'to call it "{text}"'),
        ("ingredient ingredient_2", "{drink} with {ingredient} instead of {ingredient_2}"),
        ("ingredient role", "{drink} with {ingredient} instead of the {role}"),
        ("ingredient", "{drink} with {ingredient}"),
        ("ingredient_2", "{drink} with something else instead of {ingredient_2}"),
        ("role", "{drink} with something else instead of the {role}"),
        ("", "a riff on {drink}"),
    ),
    Intent.COMPARE: (
        ("family", "{a_family} beside {a_family_2}"),
        ("part", "the {part} of {drink} beside that of {drink_2}"),
        ("", "{drink} beside {drink_2}"),
    ),
    Intent.SUBSTITUTE: (
        ("drink", "what stands in for {ingredient} in {drink}"),
        ("", "what stands in for {ingredient}"),
    ),
    Intent.OUT_OF: (("", "that {stuff} out"),),
    Intent.BACK_IN: (("text=all", "that everything is back in"), ("", "that {stuff} back in")),
    Intent.COUNTED: (
        ("text", "to forget the counts"),
        ("count", "that you counted {count} for {ingredient}"),
        ("amount", "that you have {measure} of {ingredient}"),
        ("", "how much {ingredient} you have"),
    ),
    Intent.ON_HAND: (
        ("text", "what is out"),
        ("ingredient", "how much {ingredient} is on hand"),
        ("", "what is on hand"),
    ),
    Intent.PAR: (("ingredient", "the par for {ingredient}"), ("", "the pars")),
    Intent.SET_PAR: (
        ("text", "the book's own par for {ingredient}"),
        ("count", "a par of {count} for {ingredient}"),
        ("amount", "a par of {measure} for {ingredient}"),
        ("", "a par for {ingredient}"),
    ),
    Intent.CAN_MAKE: (
        ("drink", "whether {drink} can be made"),
        ("text ingredient ingredient_2", "what can be made with {ingredient} and {ingredient_2}"),
        ("ingredient ingredient_2", "what can be made with {ingredient} but without {ingredient_2}"),
        ("ingredient role", "what can be made with {ingredient} but without {role}"),
        ("ingredient", "what can be made with {ingredient}"),
        ("ingredient_2", "what can be made without {ingredient_2}"),
        ("role", "what can be made without {role}"),
        ("", "what can be made"),
    ),
    Intent.CONTAINS: (
        ("part=free text=vegan", "which drinks are vegan"),
        ("part=which text=vegan", "which drinks are not vegan"),
        ("text=vegan ingredient", "whether {ingredient} is vegan"),
        ("text=vegan", "whether {drink} is vegan"),
        ("part=which text", "which drinks have {text}"),
        ("part=free text", "which drinks have no {text}"),
        ("text=allergens ingredient", "the allergens in {ingredient}"),
        ("text=allergens", "the allergens in {drink}"),
        ("text ingredient", "whether {ingredient} has {text}"),
        ("text", "whether {drink} has {text}"),
        ("ingredient", "whether {drink} has {ingredient}"),
        ("", "the allergens in {drink}"),
    ),
    Intent.TASTE: (
        ("text=what", "what {ingredient} is"),
        ("text", "how long {ingredient} keeps"),
        ("ingredient", "what {ingredient} tastes like"),
        ("", "what {drink} tastes like"),
    ),
    Intent.PREP: (("count", "the prep for {count} covers"), ("", "the prep for tonight")),
    Intent.QUIZ: (
        ("text family", "the floor test on the {families}"),
        ("text", "the floor test"),
        ("family", "a quiz on the {families}"),
        ("", "a quiz"),
    ),
    Intent.ANSWER: (
        ("text", 'the answer "{recited}"'),
        ("amount", "the answer {measure}"),
        ("", "an answer to the quiz"),
    ),
    Intent.SKIP: (("", "the next question"),),
    Intent.SCORE: (
        ("text=tests", "the results of the floor test"),
        ("text=why", "why the last answer was marked as it was"),
        ("person", "how {person} is doing"),
        ("shelf", "how you are doing on {shelf}"),
        ("", "your score"),
    ),
    Intent.INTRODUCE: (("", "to be called {person}"),),
    Intent.TRAIL: (("", "who changed what"),),
    Intent.LOCK: (("", "to lock the page"),),
    Intent.MUTE: (("", "the voice off"),),
    Intent.UNMUTE: (("", "the voice on"),),
    Intent.HELP: (("", "help"),),
    Intent.UNDO: (("", "to undo the last change"),),
    Intent.CANCEL: (("", "to drop all that"),),
    Intent.YES: (("", "yes"),),
    Intent.NO: (("", "no"),),
}
# What a form leaves out is said after it, in this order.
_AFTER: Mapping[str, str] = {
    "drink": " on {drink}",
    "ingredient": ", {ingredient}",
    "ingredient_2": " and {ingredient_2}",
    "role": " and the {role}",
    "family": ", {a_family}",
    "shelf": " on {shelf}",
    "count": " for {count}",
    "amount": ", {measure}",
    "unit": ", in {unit}",
    "percent": " at {percent}",
    "money": " at {money}",
    "part": ", the {part}",
    "text": ', "{text}"',
}
_PLACES = ("", "_2", "_3", "_4")  # of an order: the first drink, the second
_TAKES: Mapping[str, frozenset[str]] = {  # the slots that a word in braces says
    "many": frozenset({"count", "drink"}),
    "drinks": frozenset({"drink"}),
    "measure": frozenset({"amount", "unit"}),
    "recited": frozenset({"text", "amount", "unit", "ingredient"}),
    "stuff": frozenset({"ingredient", "ingredient_2", "role"}),
    "a_family": frozenset({"family"}),
    "a_family_2": frozenset({"family_2"}),
    "families": frozenset({"family"}),
    "all_together": frozenset(f"{slot}{place}" for slot in ("drink", "count") for place in _PLACES),
}
_UNITS = {"oz": "ounces", "ml": "mils", "part": "parts"}
_MEASURES = {"sugar": "sweetness", "acid": "acidity", "volume": "size"}  # of a drink, as parts of a question
_PLAIN = {"drink": "it", "drink_2": "the other", "ingredient": "it", "count": "several", "unit": "other units"}


def as_asked(command: Command, book: Book) -> str:
    """A command in the words of a person who asks for it: 'the spec for the Gimlet'."""
    needs, form = next(each for each in _FORMS[command.intent] if _fits(each[0], command.slots))
    said = {need.partition("=")[0] for need in needs.split()}
    for _, name, _, _ in Formatter().parse(form):
        said |= _TAKES.get(name, frozenset({name})) if name else frozenset()
    more = "".join(after for slot, after in _AFTER.items() if slot in command.slots and slot not in said)
    return (form + more).format_map(_Filled(_words(command.slots, book)))


def the(name: str) -> str:
    """A drink's name as it stands in a sentence: 'the Gimlet'."""
    return name if name.casefold().startswith("the ") else f"the {name}"


def word(slot: str, value: SlotValue, book: Book) -> str:
    """What fills a slot, in words."""
    if slot.startswith("drink"):
        return the(str(value))
    if slot == "money":
        return money(quantity(Decimal(str(value)), "money"), book.house.currency)
    if slot == "percent":
        return percent(Decimal(str(value)))
    if isinstance(value, int | Decimal):
        return number(value)
    if slot == "unit":
        return _UNITS.get(str(value), str(value))
    if slot.startswith("family"):
        return book.families[str(value)].title if value in book.families else str(value)
    if slot == "shelf":
        return the(book.shelves.get(str(value), str(value)))
    return _MEASURES.get(str(value), str(value)) if slot == "part" else str(value)


def _fits(needs: str, slots: Mapping[str, SlotValue]) -> bool:
    pairs = (need.partition("=") for need in needs.split())
    return all(slot in slots and value in ("", str(slots[slot])) for slot, _, value in pairs)


class _Filled(dict[str, str]):
    def __missing__(self, slot: str) -> str:
        return _PLAIN.get(slot, "something")


def _words(slots: Mapping[str, SlotValue], book: Book) -> dict[str, str]:
    """Each slot in words, and the phrases that take more than one."""
    words = {slot: word(slot, value, book) for slot, value in slots.items()}
    words["many"] = _many(slots, "") or words.get("drink", _PLAIN["drink"])
    words["drinks"] = plural(str(slots["drink"])) if "drink" in slots else "drinks"
    words["measure"] = _measure(slots)
    words["recited"] = words.get("text", "")
    words["all_together"] = joined([_many(slots, place) for place in _PLACES if f"drink{place}" in slots])
    stuff = [words[slot] for slot in ("ingredient", "role", "ingredient_2") if slot in slots] or [_PLAIN["ingredient"]]
    words["stuff"] = f"{joined(stuff)} {'is' if len(stuff) == 1 else 'are'}"
    for slot in ("family", "family_2"):
        if slot in slots:
            words[f"a_{slot}"] = article(words[slot])
    words["families"] = plural(words.get("family", ""))
    return words


def _many(slots: Mapping[str, SlotValue], place: str) -> str:
    """'three Gimlets'; with no number the drink itself, and with no drink 'three of it'."""
    drink, count = slots.get(f"drink{place}"), slots.get(f"count{place}")
    if count is None:
        return the(str(drink)) if drink is not None else ""
    if drink is None:
        return f"{number(Decimal(str(count)))} of it"
    return counted(Decimal(str(count)), str(drink))


def _measure(slots: Mapping[str, SlotValue]) -> str:
    if "amount" not in slots:
        return ""
    size = Decimal(str(slots["amount"]))
    return amount(Amount(size, Unit(str(slots["unit"])))) if "unit" in slots else number(size)
