"""What a trainee named in an answer, in the book's own names: pours and amounts, or a method, a glass, a family."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache

from assistant.answers.speech import plural
from assistant.names import names_of
from grammar.clean import phrase
from grammar.pours import SaidPour, parse_pours
from recipes.marking import Recited
from recipes.model import Book, Drink, Method, Pour, Role
from recipes.quiz import Kind, Question
from recipes.units import COUNTED, Amount, Unit

Words = tuple[str, ...]

METHOD_WORDS = {
    Method.SHAKEN: ("shaken", "shake", "shook", "shakes"),
    Method.STIRRED: ("stirred", "stir", "stirs"),
    Method.BUILT: ("built", "build", "builds"),
    Method.BLENDED: ("blended", "blend", "blends"),
    Method.THROWN: ("thrown", "throw", "throws"),
    Method.SWIZZLED: ("swizzled", "swizzle", "swizzles"),
}
ARTICLES = (("the",), ("a",), ("an",), ("our",))
LEFT_UNSAID = ("glass", "cup", "mug")  # 'rocks' is the rocks glass, where no other glass is called so


def recited(text: str, asked: Question, book: Book) -> tuple[Recited, ...]:
    """What the text names of what the question asks for; empty when it names nothing of the kind.

    The drink's own name before the answer is no part of it: there is no copper mug in 'the Kelp and Copper goes in a
    coupe'.
    """
    rest = _after_the_name(text, book.drinks[asked.drink])
    return _recited(rest, asked, book) or _recited(text, asked, book)


def _after_the_name(text: str, drink: Drink) -> str:
    words = phrase(text)
    start = 1 if words[:1] in ARTICLES else 0
    names = sorted(map(phrase, (drink.name, *drink.spoken)), key=len, reverse=True)
    named = next((name for name in names if words[start : start + len(name)] == name), None)
    return text if named is None else " ".join(words[start + len(named) :])


def _recited(text: str, asked: Question, book: Book) -> tuple[Recited, ...]:
    match asked.kind:
        case Kind.AMOUNT:
            return _poured(f"{text} {asked.ingredient}", asked, book)[:1]
        case Kind.BUILD:
            poured = _poured(_amounts_first(text, asked, book), asked, book)
            measured = {one.name for one in poured}
            return (*poured, *(Recited(name) for name in _names(text, asked, book) if name not in measured))
    return tuple(Recited(name) for name in _names(text, asked, book))


def _poured(text: str, asked: Question, book: Book) -> tuple[Recited, ...]:
    """What is named with its amount."""
    said = parse_pours(text, names_of(book))
    drink = book.drinks[asked.drink]
    return tuple(Recited(pour.ingredient, _amount(pour, drink.pour_of(pour.ingredient))) for pour in said)


def _amount(said: SaidPour, pour: Pour | None) -> Amount:
    """How much was said; a whole number of what the drink counts counts it: 'one egg white', 'ten mint leaves'."""
    if pour is not None and pour.amount.unit in COUNTED and said.amount == int(said.amount):
        return Amount(said.amount, pour.amount.unit)
    return Amount(said.amount, Unit(said.unit))


def _amounts_first(text: str, asked: Question, book: Book) -> str:
    """The text with each amount before its name: 'gin two ounces, lime one' becomes 'two ounces gin one lime'."""
    words = phrase(text)
    places = list(_places(words, _wordings(asked, book)))
    if not places or places[0][0] > 0 or places[-1][1] == len(words):
        return text
    ends = [start for start, _, _ in places[1:]] + [len(words)]
    return " ".join(
        word
        for (start, end, _), until in zip(places, ends, strict=True)
        for word in (*words[end:until], *words[start:end])
    )


def _names(text: str, asked: Question, book: Book) -> list[str]:
    """The names in the text that can answer this kind of question, each once."""
    return list(dict.fromkeys(_named(phrase(text), _wordings(asked, book))))


def _wordings(asked: Question, book: Book) -> Mapping[Words, str]:
    """Every way to say what can answer this kind of question, and the book's name for it."""
    match asked.kind:
        case Kind.METHOD:
            return {(word,): method.value for method, words in METHOD_WORDS.items() for word in words}
        case Kind.GLASS:
            return _glass_wordings(book)
        case Kind.FAMILY:
            return _spoken((name.canonical, name.spoken) for name in names_of(book).family)
    garnish = asked.kind is Kind.GARNISH
    poured = set() if garnish else {pour.ingredient for pour in book.drinks[asked.drink].pours}
    shelf = [
        each for each in book.ingredients.values() if (each.role is Role.GARNISH) is garnish or each.name in poured
    ]
    return _spoken((each.name, (*each.spoken, *each.sounds_like)) for each in shelf)


def _glass_wordings(book: Book) -> Mapping[Words, str]:
    full = _spoken((glass.name, glass.spoken) for glass in book.glasses.values())
    short = {words[:-1]: name for words, name in full.items() if len(words) > 1 and words[-1] in LEFT_UNSAID}
    return {**short, **full}


def _spoken(names: Iterable[tuple[str, Sequence[str]]]) -> Mapping[Words, str]:
    return {
        _words_of(wording): name
        for name, spoken in reversed(list(names))
        for single in (*spoken, name)
        for wording in (plural(single), single)
    }


@lru_cache(maxsize=4096)  # the wordings of a book, which are asked for with every answer
def _words_of(wording: str) -> Words:
    return phrase(wording)


def _named(words: Words, wordings: Mapping[Words, str]) -> list[str]:
    """The names that stand in the words, the longest wording first at each place."""
    return [name for _, _, name in _places(words, wordings)]


def _places(words: Words, wordings: Mapping[Words, str]) -> Iterator[tuple[int, int, str]]:
    """Where the names stand in the words: first word, the word after the last, name."""
    longest = max(map(len, wordings), default=0)
    at = 0
    while at < len(words):
        size = next((n for n in range(min(longest, len(words) - at), 0, -1) if words[at : at + n] in wordings), 0)
        if size:
            yield at, at + size, wordings[words[at : at + size]]
        at += size or 1
