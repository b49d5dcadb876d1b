"""What is said of changes to the book: kept, taken back, refused; and how a fault reads beside the field it is in."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from assistant.answers.speech import capital, counted, some
from assistant.answers.trail import OF_THE_BOOK
from assistant.editing.entries import fields_of
from assistant.editing.history import Edit
from assistant.editing.rewriting import Fields, Value
from assistant.errors import EditRefused
from assistant.memory import Entry
from assistant.messages import Reply
from recipes.faults import Fault

REFUSALS = {  # by EditRefused.reason; {0} is what it names
    "shipped": "This is the book that comes with the program, and it is never changed. Make it your own first.",
    "not copied": "The copy could not be made: {0}. Check that the folder can be written.",
    "gone": "The book's files have no {0} any more. Somebody took it out, or renamed it.",
    "changed": "{0} was changed in its file since you opened it, so nothing was written. What you typed is still here. "
    "Open it anew in another window, and put the two together.",
    "faults": "Nothing was written, since the book would not be sound. {0}",
    "in use": "{0} stays in the book, and nothing was changed, since something else names it: {1}. Change that first.",
    "same": "{0} says just that already, so there is nothing to write.",
    "busy": "Another program is writing to the book just now. Try again in a moment.",
    "by hand": "{0} is written in its file in a way that I do not change without risk. Change it there by hand.",
    "not written": "The file could not be written: {0}. Nothing was changed.",
    "not read": "The book's files could not be read: {0}. Nothing was changed.",
    "no page": "The book has no file {0} for that.",
    "unknown edit": "I know of no such change, so nothing was undone.",
    "undone already": "The change of {0} was undone already. Nothing more was changed.",
    "changed since": "{0} was changed again after that, here or by hand in its file. Undo the later change first.",
}

TOML_WORDS = re.compile(r"[{<]|\[\[|\blist\b|\bid\b|\.toml|TOML")  # mends for whoever edits the file
MENDS: Mapping[str, str] = MappingProxyType(  # by field, for whoever fills in the form
    {
        "pours": "Write at least one pour, as 2 oz gin.",
        "made.pours": "Write at least one line, as 500 g sugar.",
        "made.makes": "Write the volume that it makes, as 750 ml.",
        "made.steps": "Write at least one step.",
        "made": "Write what goes in, how much it makes, and the steps.",
        "steps": "Write at least one step.",
        "glass": "Choose one of the glasses.",
        "source": "Choose where the recipe comes from.",
        "abv": "Write a number from 0 to 100, and choose where it comes from.",
        "sugar": "Write grams per litre, and choose where the number comes from.",
        "acid": "Write a number from 0 to 100, and choose where it comes from.",
        "density": "Write grams per millilitre, and choose where the number comes from.",
        "each": "Write how much one piece is, as 48 ml, and choose where that comes from.",
        "each.size": "Write how much one piece is, as 48 ml or 2.3 g.",
        "pack": "Write the pack and its price, as 750 ml and 24.50.",
        "pack.size": "Write what a pack holds, as 750 ml, 1 kg or 12 piece.",
        "pack.usable": "Write what one pack yields, as 27 ml, or leave it empty.",
        "par": "Write the least to have at opening, as 500 ml.",
        "allergens": "Choose them, or say that they are not looked up.",
        "vegan": "Choose one, or say that it is not looked up.",
        "garnish": "Write a garnish that the book has, or leave the line out.",
        "stand_ins": "Write an ingredient that the book has, or leave the line out.",
        "say": "Write other names, one on each line.",
        "sounds_like": "Write how it is said, in common English words, one on each line.",
        "flavour": "Write words, one on each line.",
    }
)
CHOOSE_SOURCE = "Choose where the number comes from."
ADD_FIRST = "Add it to the book first."


def kept(edit: Edit) -> Reply:
    """What was written, and where."""
    how = "is in the book" if edit.before is None else "is changed in the book"
    return Reply(f"Kept: the {edit.name} {how}. It can be asked for now.", undo=edit.token)


def removed(edit: Edit) -> Reply:
    """What was taken out."""
    return Reply(f"The {edit.name} is out of the book. Its text is kept in the history.", undo=edit.token)


def taken_back(edit: Edit) -> Reply:
    """What an undone change has left."""
    if edit.after is None:
        return Reply(f"Undone. The {edit.name} is out of the book again.", undo=edit.token)
    how = "is in the book again" if edit.before is None else "is as it was before"
    return Reply(f"Undone. The {edit.name} {how}.", undo=edit.token)


def refused(error: EditRefused) -> Reply:
    """Why the book was not changed, and what to do."""
    told = [*error.told, ""]
    if error.reason == "faults" and len(error.told) > 1:
        told[0] = f"{error.told[0]}; and {counted(len(error.told) - 1, 'fault')} more."
    return Reply(REFUSALS[error.reason].format(capital(told[0]), some(error.told[1:])), understood=False)


def made_own(folder: str) -> Reply:
    """The book that ships was copied."""
    return Reply(f"The book is yours now. Its files are in {folder}, and every change from here on is made there.")


def fault_said(fault: Fault) -> str:
    """A fault as it is told beside its field: what is wrong, and how to mend it on the form."""
    field = fault.field
    problem = "Missing" if fault.problem == f'"{field.rpartition(".")[2]}" is missing' else capital(fault.problem)
    return f"{problem}. {_mend(fault)}"


def name_taken(owner: str) -> str:
    """Another entry has the name, or is also called by it."""
    return f"The book calls the {owner} by that name already. Give each name to one."


def fault_elsewhere(fault: Fault) -> str:
    """A fault of another entry: file, line, what and how."""
    entry = f"{fault.entry}: " if fault.entry else ""
    return f"{fault.file}, line {fault.line}: {entry}{fault.problem}. {capital(fault.mend)}."


def what_changed(edit: Edit) -> tuple[str, ...]:
    """What an edit changed of its entry, a line for each key; one line for a whole entry."""
    if edit.before is None:
        return ("new in the book",)
    if edit.after is None:
        return ("taken out of the book",)
    before, after = fields_of(edit.before, edit.kind), fields_of(edit.after, edit.kind)
    return tuple(_key_change(key, before, after) for key in {**before, **after} if before.get(key) != after.get(key))


def as_entry(edit: Edit) -> Entry:
    """An edit as a line of the trail that tells of everything."""
    columns = {"name": edit.name, "file": edit.page, "changed": "; ".join(what_changed(edit))}
    return Entry(edit.token, edit.at, edit.who, OF_THE_BOOK, edit.name, None, columns, edit.undoes)


def _mend(fault: Fault) -> str:
    if not TOML_WORDS.search(fault.mend):
        return f"{capital(fault.mend)}."
    if fault.field.endswith(".source") or fault.field == "source":
        return MENDS["source"] if fault.field == "source" else CHOOSE_SOURCE
    if "[[ingredient]]" in fault.mend:
        return ADD_FIRST
    return MENDS.get(fault.field) or MENDS.get(fault.field.partition(".")[0]) or f"{capital(fault.mend)}."


def _key_change(key: str, before: Fields, after: Fields) -> str:
    old, new = before.get(key), after.get(key)
    what = key.replace("_", " ")
    if isinstance(old, tuple) and isinstance(new, tuple):
        return f"{what}: {'; '.join(_lines(old, new))}"
    return f"{what}: {_plain(old)} is now {_plain(new)}"


def _lines(old: Sequence[str], new: Sequence[str]) -> list[str]:
    gone = [f"without {line}" for line in old if line not in new]
    come = [f"with {line}" for line in new if line not in old]
    return [*gone, *come] or ["in another order"]


def _plain(value: Value | None) -> str:
    match value:
        case None | ():
            return "nothing"
        case tuple():
            return ", ".join(value)
        case Mapping():
            return ", ".join(f"{key} {_plain(inner)}" for key, inner in value.items())
    return str(value)
