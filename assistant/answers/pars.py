"""What is said of pars, the least that this bar has of a thing at opening: PAR when asked, SET_PAR when told."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from assistant.answers.base import Answer, Handler, Scene, SetPar
from assistant.answers.figures import size_figure
from assistant.answers.on_hand import amount_told, measure_said
from assistant.answers.speech import capital, some
from assistant.messages import Card, Reply, Row, Table
from grammar.command import Command, Intent
from recipes.model import Ingredient, Role
from recipes.prep import is_prepared
from recipes.stocktake import counted
from recipes.units import Quantity

NAMED_ALOUD = 4
NONE_YET = "There are no pars yet. Say, for example: set the par for lime juice to two litres."


def set_par(command: Command, scene: Scene) -> Answer:
    """'Set the par for lime juice to two litres': noted for this bar and read back; prep makes no less."""
    ingredient = scene.book.ingredients[str(command.slots["ingredient"])]
    name, focus = ingredient.name, replace(scene.focus, ingredient=ingredient.name)
    if command.slots.get("text") == "book":
        return _as_in_the_book(name, replace(scene, focus=focus))
    if not is_prepared(ingredient):
        say = f"{capital(name)} is not made, cut or pressed here, so it has no par on the prep sheet."
        return Answer(Reply(say), focus)
    par = _told(command, ingredient, scene)
    if par is None:
        return Answer(Reply(f"That does not tell me how much {name} to have. {_for_example(ingredient)}"), focus)
    was = "There was none" if ingredient.par is None else f"It was {measure_said(ingredient.par)}"
    say = f"The par for {name} is now {measure_said(par)}. {was}."
    return Answer(Reply(say, _card(scene, ingredient, par)), focus, SetPar(name, par))


def asked(command: Command, scene: Scene) -> Answer:
    """'What's the par for lime juice', 'what are our pars'."""
    if "ingredient" not in command.slots:
        names = [name for name, one in scene.book.ingredients.items() if one.par is not None]
        say = f"There are pars for {some(names, NAMED_ALOUD)}. The card has how much." if names else NONE_YET
        return Answer(Reply(say, _card(scene)), scene.focus)
    ingredient = scene.book.ingredients[str(command.slots["ingredient"])]
    focus = replace(scene.focus, ingredient=ingredient.name)
    if ingredient.par is None:
        say = f"There is no par for {ingredient.name}."
        return Answer(Reply(f"{say} {_for_example(ingredient)}" if is_prepared(ingredient) else say), focus)
    return Answer(Reply(f"The par for {ingredient.name} is {measure_said(ingredient.par)}.", _card(scene)), focus)


def _as_in_the_book(name: str, scene: Scene) -> Answer:
    if name not in scene.pars:
        return Answer(Reply(f"This bar has no par of its own for {name}: what the book says stands."), scene.focus)
    return Answer(Reply(f"The par for {name} is the book's again, if it has one."), scene.focus, SetPar(name, None))


def _told(command: Command, ingredient: Ingredient, scene: Scene) -> Quantity | None:
    """So much, as prep reckons with it; None where the words do not tell: parts, whole fruit for a juice, nothing."""
    amount = amount_told(command)
    try:
        found = counted(amount, ingredient, scene.book)
    except ValueError:
        return None
    return found.ready if amount.number > Decimal(0) else None


def _for_example(ingredient: Ingredient) -> str:
    much = "thirty" if ingredient.role is Role.GARNISH else "two litres"
    return f"Say, for example: set the par for {ingredient.name} to {much}."


def _card(scene: Scene, changed: Ingredient | None = None, par: Quantity | None = None) -> Card | None:
    """All pars, with the one that has just been changed."""
    pars = {name: one.par for name, one in scene.book.ingredients.items() if one.par is not None}
    if changed is not None and par is not None:
        pars |= {changed.name: par}
    own = scene.pars | ({changed.name} if changed else frozenset())
    rows = tuple(
        Row(name, (size_figure(size),), "this bar's own" if name in own else "") for name, size in pars.items()
    )
    return Card("on_hand", "Pars: the least at opening", blocks=(Table(rows, ("What", "Par")),)) if rows else None


HANDLERS: dict[Intent, Handler] = {Intent.SET_PAR: set_par, Intent.PAR: asked}
