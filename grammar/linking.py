"""Grammars put together: imports resolved, and what could never be parsed or built refused."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from functools import partial

from grammar.errors import JsgfError
from grammar.rules import (
    SPECIAL,
    Choice,
    Expansion,
    Grammar,
    Maybe,
    Ref,
    Repeat,
    Rule,
    Sequence,
    Tagged,
    Word,
    children,
    refs,
)

MAX_DEPTH = 100  # rules within rules


def link(main: Grammar, library: Mapping[str, Grammar], given: Collection[str] = ()) -> Grammar:
    """One grammar of fully named rules ('numbers.count'): those of `main` first, then those of what it imports.

    Only the public rules of `main` stay public. `given` are rules without a body, filled at run time. Raises JsgfError.
    """
    rules: dict[str, Rule] = {}
    for grammar in [main, *(g for g in library.values() if g.name != main.name)]:
        imported = frozenset(_imported(grammar, library, given))
        for rule in grammar.rules.values():
            body = _renamed(rule.body, partial(_resolved, grammar=grammar, rule=rule, imported=imported))
            public = rule.public and grammar.name == main.name
            name = f"{grammar.name}.{rule.name}"
            rules[name] = replace(rule, name=name, body=body, public=public)
    linked = replace(main, rules=rules, imports=())
    check(linked, given, {f"{g.name}.{r}": g.file for g in library.values() for r in g.rules})
    return linked


def _renamed(item: Expansion, full: Callable[[str], str]) -> Expansion:
    match item:
        case Word():
            return item
        case Ref(name):
            return item if name in SPECIAL else Ref(full(name))
        case Sequence(items):
            return Sequence(tuple(_renamed(part, full) for part in items))
        case Choice(options, weights):
            return Choice(tuple(_renamed(part, full) for part in options), weights)
        case Maybe() | Repeat() | Tagged():
            return replace(item, item=_renamed(item.item, full))


def _resolved(name: str, grammar: Grammar, rule: Rule, imported: Collection[str]) -> str:
    """The full name of the rule that `name` means inside this grammar: its own first, then an imported one."""
    own = name.removeprefix(f"{grammar.name}.")
    if own in grammar.rules:
        return f"{grammar.name}.{own}"
    found = sorted(full for full in imported if full == name or full.endswith(f".{name}"))
    if len(found) == 1:
        return found[0]
    if found:
        mend = f"write it in full: <{found[0]}>"
        raise JsgfError(grammar.file, rule.line, f"<{name}> is imported from more than one grammar", mend)
    raise _undefined(grammar.file, rule, name)


def _imported(grammar: Grammar, library: Mapping[str, Grammar], given: Collection[str]) -> Iterator[str]:
    for name in grammar.imports:
        package, _, wanted = name.rpartition(".")
        source = library.get(package)
        offered = {r.name for r in source.public} if source else set()
        offered |= {full.rpartition(".")[2] for full in given if full.rpartition(".")[0] == package}
        if not offered:
            raise JsgfError(grammar.file, 1, f"no grammar {package!r} to import", "name a file that stands beside it")
        if wanted != "*" and wanted not in offered:
            raise JsgfError(grammar.file, 1, f"{package!r} has no public rule <{wanted}>", "make it public there")
        yield from (f"{package}.{rule}" for rule in sorted(offered) if wanted in ("*", rule))


def check(grammar: Grammar, given: Collection[str] = (), files: Mapping[str, str] | None = None) -> None:
    """Refuse undefined rules, rules that never end, and left recursion. Raises JsgfError for the first it meets."""
    where = files or {}
    for rule in grammar.rules.values():
        for name in refs(rule.body):
            if name not in grammar.rules and name not in SPECIAL and name not in given:
                raise _undefined(where.get(rule.name, grammar.file), rule, name)
    for rule in _too_deep(grammar, given):  # looked for first, since it bounds what the rest takes
        file = where.get(rule.name, grammar.file)
        raise JsgfError(file, rule.line, f"rules are nested more than {MAX_DEPTH} deep", "flatten them")
    endless = set(grammar.rules) - _ending(grammar, given)
    nullable = _nullable(grammar)
    for rule in grammar.rules.values():
        file = where.get(rule.name, grammar.file)
        if _reaches_itself(rule.name, grammar, nullable):
            mend = "put a word before the rule's own name, or use + or *"
            raise JsgfError(file, rule.line, f"<{rule.name}> begins with itself (left recursion)", mend)
        if rule.name in endless:
            mend = "give it an alternative that does not come back to itself"
            raise JsgfError(file, rule.line, f"<{rule.name}> can never be said to its end", mend)


def _too_deep(grammar: Grammar, given: Collection[str]) -> list[Rule]:
    """The rules that name rules that name rules, further down than any grammar needs."""
    named = {name: frozenset(refs(rule.body)) for name, rule in grammar.rules.items()}
    known = set(given) | SPECIAL
    for _ in range(MAX_DEPTH):
        known |= {name for name, below in named.items() if below <= known}
    return [grammar.rules[name] for name, below in named.items() if name not in known and below <= known]


def _undefined(file: str, rule: Rule, name: str) -> JsgfError:
    return JsgfError(file, rule.line, f"<{name}> is not defined", "define it, import it, or correct its name")


def _ending(grammar: Grammar, given: Collection[str]) -> set[str]:
    """The rules that have a finite sentence."""
    return _grow(grammar, lambda item, known: _all_known(item, known | set(given) | SPECIAL))


def _all_known(item: Expansion, known: set[str]) -> bool:
    match item:
        case Word():
            return True
        case Ref(name):
            return name in known
        case Choice(options):
            return any(_all_known(option, known) for option in options)
        case Maybe():
            return True
        case Repeat(inner, least):
            return not least or _all_known(inner, known)
        case Sequence() | Tagged():
            return all(_all_known(part, known) for part in children(item))


def _nullable(grammar: Grammar) -> set[str]:
    """The rules that may say nothing."""
    return _grow(grammar, _may_be_silent)


def _grow(grammar: Grammar, holds: Callable[[Expansion, set[str]], bool]) -> set[str]:
    """The names of the rules for which it holds, once nothing more follows from those already found."""
    known: set[str] = set()
    while more := {r.name for r in grammar.rules.values() if r.name not in known and holds(r.body, known)}:
        known |= more
    return known


def _may_be_silent(item: Expansion, silent: set[str]) -> bool:
    match item:
        case Word(text):
            return not text.strip()
        case Ref(name):
            return name == "NULL" or name in silent
        case Sequence(items):
            return all(_may_be_silent(part, silent) for part in items)
        case Choice(options):
            return any(_may_be_silent(option, silent) for option in options)
        case Maybe():
            return True
        case Repeat(inner, least):
            return not least or _may_be_silent(inner, silent)
        case Tagged(inner):
            return _may_be_silent(inner, silent)


def _reaches_itself(name: str, grammar: Grammar, silent: set[str]) -> bool:
    seen: set[str] = set()
    waiting = list(_first(grammar.rules[name].body, silent))
    while waiting:
        ref = waiting.pop()
        if ref == name:
            return True
        if ref not in seen and ref in grammar.rules:
            seen.add(ref)
            waiting += _first(grammar.rules[ref].body, silent)
    return False


def _first(item: Expansion, silent: set[str]) -> Iterator[str]:
    """The rules that an expansion may begin with."""
    if isinstance(item, Ref):
        yield item.name
    elif isinstance(item, Sequence):
        for part in item.items:
            yield from _first(part, silent)
            if not _may_be_silent(part, silent):
                return
    else:
        for part in children(item):
            yield from _first(part, silent)
