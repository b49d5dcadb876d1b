"""What a trainee named in an answer, in the book's own names: pours and amounts, or a method, a glass, an allergen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache

from assistant.answers.speech import plural
from assistant.names import names_of
from grammar.clean import phrase
from grammar.pours import SaidPour, parse_pours
from recipes.marking import Recited
from recipes.model import Book, Drink, Method, Pour, Role
from recipes.quiz import NO_ALLERGEN, Kind, Question, right_names
from recipes.safety import ASKED_FOR
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
METHODS: Mapping[Words, str] = {(word,): method.value for method, words in METHOD_WORDS.items() for word in words}
PASSED_OVER = ""  # the name of what stands in an answer and is none
ARTICLES = (("the",), ("a",), ("an",), ("our",))
NONE = ("none", "nothing", "no allergen", "no listed allergen", "no known allergen")
DENIED = ("no", "not", "without")  # 'no egg' names no egg
LEFT_UNSAID = ("glass", "cup", "mug")  # 'rocks' is the rocks glass, where no other glass is called so


def recited(text: str, asked: Question, book: Book) -> tuple[Recited, ...]:
    """What the text names of what the question asks for; empty when it names nothing of the kind.

    The drink's own name before the answer is no part of it: there is no copper mug in 'the Kelp and Copper goes in a
    coupe'. Nor are the names of both drinks, where it is asked what changes: there may be gin in a gin fizz.
    """
    if asked.kind is Kind.NAME:
        return _recited(text, asked, book)
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
        case Kind.ALLERGENS if phrase(text) in (("no",), ("no", "allergens")):
            return (Recited(NO_ALLERGEN),)
    return tuple(Recited(name) for name in _names(text, asked, book))


def _poured(text: str, asked: Question, book: Book) -> tuple[Recited, ...]:
    """What is named with its amount."""
    said = parse_pours(text, book.once(names_of))
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
    return [name for name in dict.fromkeys(_named(phrase(text), _wordings(asked, book))) if name != PASSED_OVER]


def _wordings(asked: Question, book: Book) -> Mapping[Words, str]:
    """Every way to say what can answer this kind of question, and the book's name for it."""
    match asked.kind:
        case Kind.METHOD:
            return METHODS
        case Kind.GLASS:
            return _glass_wordings(book)
        case Kind.FAMILY:
            return _spoken((name.canonical, name.spoken) for name in book.once(names_of).family)
        case Kind.NAME:
            return _drink_wordings(book.drinks.values())
        case Kind.ALLERGENS:
            return _allergen_wordings(right_names(asked, book))
        case Kind.CHANGE:
            both = book.drinks[asked.other], book.drinks[asked.drink]
            names = dict.fromkeys(_drink_wordings(both), PASSED_OVER)
            return {**_only_ones(both, book), **_pour_wordings(asked, book), **METHODS, **names}
    return _pour_wordings(asked, book)


def _pour_wordings(asked: Question, book: Book) -> Mapping[Words, str]:
    garnish = asked.kind is Kind.GARNISH
    poured = set() if garnish else {pour.ingredient for pour in book.drinks[asked.drink].pours}
    shelf = [
        each for each in book.ingredients.values() if (each.role is Role.GARNISH) is garnish or each.name in poured
    ]
    return _spoken((each.name, (*each.spoken, *each.sounds_like)) for each in shelf)


def _only_ones(drinks: Iterable[Drink], book: Book) -> Mapping[Words, str]:
    """What kind each of their ingredients is, where none of the others is: 'the vermouth'."""
    poured = {pour.ingredient: book.ingredients[pour.ingredient].kind for drink in drinks for pour in drink.pours}
    kinds = list(poured.values())
    return {_words_of(kind): name for name, kind in poured.items() if kind and kinds.count(kind) == 1}


def _drink_wordings(drinks: Iterable[Drink]) -> Mapping[Words, str]:
    """Without the article that some begin with: after it a longer name may stand."""
    full = _spoken((drink.name, (*drink.spoken, *drink.sounds_like)) for drink in drinks)
    return {words[1:] if words[:1] in ARTICLES and words[1:] else words: name for words, name in full.items()}


def _allergen_wordings(held: Sequence[str]) -> Mapping[Words, str]:
    """Every way to name an allergen; a word for several of them ('shellfish') means the one that the drink holds."""
    meant = {
        _words_of(word): min(of.intersection(held) or of, key=lambda name: (name != word, name))
        for word, of in ASKED_FOR.items()
    }
    denied = {(*_words_of(no), *words): PASSED_OVER for no in DENIED for words in meant}
    return {**meant, **denied, **_spoken([(NO_ALLERGEN, NONE)])}


def _glass_wordings(book: Book) -> Mapping[Words, str]:
    full = _spoken((glass.name, glass.spoken) for glass in book.glasses.values())
    short = {words[:-1]: name for words, name in full.items() if len(words) > 1 and words[-1] in LEFT_UNSAID}
    return {**short, **full}


def _spoken(names: Iterable[tuple[str, Sequence[str]]]) -> Mapping[Words, str]:
    return {
        words: name
        for name, spoken in reversed(list(names))
        for single in (*spoken, name)
        for words in _many_and_one(single)
    }


# The wordings of a book are asked for with every answer.
@lru_cache(maxsize=4096)
def _many_and_one(wording: str) -> tuple[Words, Words]:
    return phrase(plural(wording)), phrase(wording)


@lru_cache(maxsize=4096)
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
