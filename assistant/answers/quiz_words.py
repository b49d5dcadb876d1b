"""The words of the quiz: how a question is put, what is right and why, and what an answer got wrong."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.answers.speech import amount, article, capital, counted, integer, joined, pour, sentence, some
from recipes.changes import changes, is_unmeasured
from recipes.families import classify, family_of
from recipes.marking import Line, Marking, Verdict
from recipes.model import Book, Drink, Role
from recipes.quiz import Kind, Question, Standing
from recipes.safety import contents, names_in

REASONS_ALOUD = 3  # a voice corrects no more lines than this; the card has them all
WEAKEST = 3  # how many names are said of what is still missed


def put(asked: Question, book: Book) -> str:
    """The question as it is asked."""
    drink = asked.drink
    match asked.kind:
        case Kind.BUILD:
            return f"How is the {drink} built? Name each pour and how much."
        case Kind.AMOUNT:
            return f"How much {asked.ingredient} goes into the {drink}?"
        case Kind.METHOD:
            return f"How is the {drink} mixed?"
        case Kind.GLASS:
            return f"Which glass does the {drink} go in?"
        case Kind.GARNISH:
            return f"What garnishes the {drink}?"
        case Kind.FAMILY:
            return f"Which family does the {drink} belong to?"
        case Kind.NAME:
            return f"{capital(_build_of(book.drinks[drink]))}, {book.drinks[drink].method.value}. Which drink is it?"
        case Kind.CHANGE:
            return f"From the {asked.other} to the {drink}: what changes, in the pours and the method?"
        case Kind.ALLERGENS:
            return f"Which allergens does the {drink} have? Say none if it has none by our data."
    rest = [each.ingredient for each in book.drinks[drink].pours if each.ingredient != asked.ingredient]
    return f"The {drink} has {joined(rest)}, and one thing more. What is missing?"


def right_answer(asked: Question, book: Book) -> str:
    """The right answer with the reason for it, without a stop."""
    drink = book.drinks[asked.drink]
    match asked.kind:
        case Kind.BUILD:
            return f"the {drink.name} is {_build_of(drink)}"
        case Kind.AMOUNT:
            return f"the {drink.name} has {_poured(asked.ingredient, drink, of=True)}"
        case Kind.METHOD:
            return f"the {drink.name} is {drink.method.value}: {_why_method(drink)}"
        case Kind.GLASS:
            return f"the {drink.name} goes in {article(drink.glass)}"
        case Kind.GARNISH:
            return f"the {drink.name} wears {joined([article(name) for name in drink.garnish])}"
        case Kind.FAMILY:
            return f"the {drink.name} is {article(family_title(drink, book) or 'drink of its own')}{_why(drink, book)}"
        case Kind.NAME:
            return f"that is the {drink.name}"
        case Kind.CHANGE:
            return f"from the {asked.other} to the {drink.name} {_changed(book.drinks[asked.other], drink)}"
        case Kind.ALLERGENS:
            return _held(drink, book)
    return f"the {drink.name} has {asked.ingredient}"


def _build_of(drink: Drink) -> str:
    return joined([_poured(each.ingredient, drink) for each in drink.pours])


def _changed(first: Drink, second: Drink) -> str:
    """'You leave out gin, add one and a half ounces of bourbon, and it is stirred'."""
    found = changes(first, second)
    comes_in, other_amount = (
        joined([_poured(name, second, of=True) for name in names]) for names in (found.comes_in, found.other_amount)
    )
    pours = [f"leave out {joined(found.out)}"] if found.out else []
    pours += [f"add {comes_in}"] if comes_in else []
    pours += [f"pour {other_amount}"] if other_amount else []
    parts = [f"you {pours[0]}", *pours[1:]] if pours else []
    parts += [f"it is {second.method.value}"] if found.other_method else []
    return ", and ".join(filter(None, (", ".join(parts[:-1]), parts[-1])))


def _held(drink: Drink, book: Book) -> str:
    """The allergens of a drink of which all is known, and what brings them."""
    held = contents(names_in(drink), book).by_allergen
    if not held:
        return f"the {drink.name} has no listed allergen by our data: check the labels"
    brought = [f"{allergen} from {joined(holders)}" for allergen, holders in held.items()]
    return f"the {drink.name} has {joined(list(held))} by our data: {joined(brought)}"


def _poured(name: str, drink: Drink, of: bool = False) -> str:
    line = drink.pour_of(name)
    if line is None:
        return name
    return f"{name} {line.note}" if is_unmeasured(line) else pour(line.amount, name, of)


def _why_method(drink: Drink) -> str:
    """Why it is mixed so, as the trade teaches it (common practice)."""
    cloudy = [each for each in drink.pours if each.role in (Role.ACID, Role.JUICE, Role.EGG, Role.DAIRY)]
    match drink.method.value:
        case "shaken":
            return f"it has {cloudy[0].ingredient}" if cloudy else "it wants air and cold"
        case "stirred" | "thrown":
            return "it is all clear, and wants no air beaten in"
        case "built":
            return "it is made in the glass it is served in"
    return "it is made with crushed ice"


def family_title(drink: Drink, book: Book) -> str | None:
    """What people call the family of a drink; None when it is of none."""
    family = family_of(drink, book)
    return book.families[family].title if family and family in book.families else family


def _why(drink: Drink, book: Book) -> str:
    reason = classify(drink, book).reason
    return f": {reason}" if reason else ""


def told(marking: Marking, book: Book) -> str:
    """How the answer was, and what would have been right."""
    right = right_answer(marking.question, book)
    if marking.points == marking.out_of:
        return f"Right. {sentence(right)}"
    verdict = "Nearly" if marking.points else "No"
    if marking.question.kind is not Kind.BUILD:
        return sentence(f"{verdict}: {right}")
    reasons = _reasons(marking.lines)
    more = " The card has the rest." if len(reasons) > REASONS_ALOUD else ""
    return f"{points_of(marking.points, marking.out_of).capitalize()}. {' '.join(reasons[:REASONS_ALOUD])}{more}"


def _reasons(lines: Sequence[Line]) -> list[str]:
    """Why the lines of a build did not get all their points: what is off, what was left out, what is not in it."""
    unsaid, left_out, added = (
        [line for line in lines if line.verdict is verdict]
        for verdict in (Verdict.UNSAID, Verdict.LEFT_OUT, Verdict.ADDED)
    )
    reasons = [_off(line) for line in lines if line.verdict in (Verdict.CLOSE, Verdict.WRONG)]
    reasons += [f"You named no amount for {joined([_wanted(line) for line in unsaid])}."] if unsaid else []
    reasons += [f"You left out {joined([_wanted(line) for line in left_out])}."] if left_out else []
    reasons += [f"There is no {joined([line.name for line in added], 'or')} in it."] if added else []
    return reasons


def _off(line: Line) -> str:
    """'Lime juice is close: it is three quarters of an ounce, you said one ounce.'"""
    expected, said = (amount(each) if each else "unsaid" for each in (line.expected, line.said))
    near = "is close: it is" if line.verdict is Verdict.CLOSE else "is"
    return f"{capital(line.name)} {near} {expected}, you said {said}."


def _wanted(line: Line) -> str:
    return pour(line.expected, line.name, of=True) if line.expected else line.name


def still_missed(by_drink: Sequence[Standing], by_family: Sequence[Standing], name: str = "") -> str:
    """The names least known by the latest answers, said to whoever knows them, or of somebody by name."""
    missed = [standing.name for standing in by_drink if standing.points < standing.out_of]
    if not missed:
        return f"By the latest answers {name} misses nothing." if name else "By your latest answers you miss nothing."
    families = [standing.name for standing in by_family if standing.points < standing.out_of]
    weakest = f" The family {'known' if name else 'you know'} least is the {families[0]}." if families else ""
    they_miss = f"{name} still misses" if name else "You still miss"
    return f"{they_miss} most in {joined([f'the {drink}' for drink in missed[:WEAKEST]])}.{weakest}"


def due_again(drinks: Sequence[str]) -> str:
    """What the schedule would ask now; a name for each question, the longest due first."""
    named = some([f"the {name}" for name in dict.fromkeys(drinks)])
    are = "is" if len(drinks) == 1 else "are"
    return f"{capital(counted(len(drinks), 'question'))} {are} due again, on {named}."


def points_of(points: int, out_of: int) -> str:
    """'eight of nine points'."""
    return f"{integer(points)} of {counted(out_of, 'point')}"
