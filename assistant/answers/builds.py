"""What is said of how a drink is built, a step at a time: BUILD, NEXT_STEP, PREVIOUS_STEP."""

from __future__ import annotations

from dataclasses import replace

from assistant.answers import house_made
from assistant.answers.base import Answer, Handler, Scene
from assistant.answers.meant import drink_meant
from assistant.answers.measured import facts, garnish_now, lines_now, lines_table, out_tonight
from assistant.answers.safety import caution_lines
from assistant.answers.speech import counted, integer, sentence
from assistant.messages import Card, Reply, Steps
from grammar.command import Command, Intent
from recipes.model import Drink


def build(command: Command, scene: Scene) -> Answer:
    """'How do I build a gimlet?': the first step; 'next' reads on. A syrup's steps are read in one go."""
    if "drink" not in command.slots:
        return house_made.making(str(command.slots["ingredient"]), scene)
    drink = drink_meant(command, scene)
    if not drink.steps:
        return _no_steps(drink, scene)
    steps = counted(len(drink.steps), "step")
    more = " Say next for the next one." if len(drink.steps) > 1 else ""
    out = out_tonight(drink, scene.out)
    return _read(drink, 0, scene, f"{drink.name}, {steps}. {f'{out} ' if out else ''}Step one: {drink.steps[0]}{more}")


def next_step(command: Command, scene: Scene) -> Answer:
    """'Next': the step after the one read last; the first if none was."""
    drink = drink_meant(command, scene)
    step = -1 if scene.focus.step is None or scene.focus.drink != drink.name else scene.focus.step
    if not drink.steps:
        return _no_steps(drink, scene)
    if step + 1 >= len(drink.steps):
        return _read(drink, step, scene, f"That was the last step of the {drink.name}.")
    return _read(drink, step + 1, scene, _numbered(drink, step + 1))


def previous_step(command: Command, scene: Scene) -> Answer:
    """'Back a step': the step before the one read last."""
    drink = drink_meant(command, scene)
    if not drink.steps:
        return _no_steps(drink, scene)
    step = scene.focus.step if scene.focus.drink == drink.name else None
    if not step:
        return _read(drink, 0, scene, f"That is the first step: {drink.steps[0]}")
    return _read(drink, step - 1, scene, _numbered(drink, step - 1))


def _numbered(drink: Drink, step: int) -> str:
    last = step == len(drink.steps) - 1
    place = "Last step" if last else f"Step {integer(step + 1)} of {integer(len(drink.steps))}"
    return f"{place}: {drink.steps[step]}"


def _read(drink: Drink, step: int, scene: Scene, say: str) -> Answer:
    focus = replace(scene.focus, drink=drink.name, step=step)
    table = lines_table(lines_now(drink, focus, scene.book), garnish_now(drink, focus), scene.out)
    card = Card("build", drink.name, facts(drink), (Steps(drink.steps, step), table))
    cautions = caution_lines(drink, scene.book) if step == 0 else ()
    return Answer(Reply(sentence(say), card, cautions), focus)


def _no_steps(drink: Drink, scene: Scene) -> Answer:
    say = f"The book has no steps for the {drink.name}: it is {drink.method.value}, in the {drink.glass}."
    return Answer(Reply(say), replace(scene.focus, drink=drink.name, step=None))


HANDLERS: dict[Intent, Handler] = {
    Intent.BUILD: build,
    Intent.NEXT_STEP: next_step,
    Intent.PREVIOUS_STEP: previous_step,
}
