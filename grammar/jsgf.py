"""JSGF, the JSpeech Grammar Format (W3C Note, 5 June 2000): text to grammar, and grammar to text.

All of the Note is read: the self-identifying header, the grammar's name, imports, public and private rules, weighted
alternatives, sequences, groups, optional groups, `*` and `+`, tags, quoted tokens, comments, `<NULL>` and `<VOID>`.
The reader is our own because a fault must be told with its line and a mend, and tags must be kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from grammar.errors import JsgfError
from grammar.linking import check, link
from grammar.rules import Choice, Expansion, Grammar, Maybe, Ref, Repeat, Rule, Sequence, Tagged, Word, refs

MAX_NESTING = 40  # groups within groups: deeper is a runaway

_HEADER = re.compile(r"\ufeff?#JSGF[ \t]+([Vv]1\.0(?:[ \t]+[^\s;]+){0,2})[ \t]*;")
_TOKEN = re.compile(
    r"""
    (?P<space>\s+ | //[^\n]* | /\*(?!\*)(?:.|\n)*?\*/)
  | (?P<doc>/\*\*(?:.|\n)*?\*/)
  | (?P<weight>/\s*[0-9]*\.?[0-9]+(?:[eE][-+]?[0-9]+)?f?\s*/)
  | (?P<ref><[^<>\s"{};|=()\[\]]+>)
  | (?P<quoted>"(?:\\.|[^"\\])+")
  | (?P<tag>\{(?:\\.|[^}\\])*\})
  | (?P<mark>[=;|*+()\[\]])
  | (?P<word>[^\s=;|*+<>()\[\]{}/"]+)
    """,
    re.VERBOSE,
)
_CLOSING = {"(": ")", "[": "]"}
_SPECIAL_CHARACTERS = re.compile(r'[\s=;|*+<>()\[\]{}/"\\]')


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str
    line: int


def load(path: Path, given: frozenset[str] = frozenset()) -> Grammar:
    """Read a grammar file and those it imports, which stand beside it, as one grammar of fully named rules.

    `given` names the rules that come in at run time ('names.drink'). Raises JsgfError, or OSError for the file itself.
    """
    library: dict[str, Grammar] = {}
    waiting = [path]
    while waiting:
        grammar = _read(waiting.pop())
        library[grammar.name] = grammar
        for imported in grammar.imports:
            name = imported.rpartition(".")[0]
            file = path.with_name(f"{name.rpartition('.')[2]}.jsgf")
            if name not in library and file.is_file() and file not in waiting:
                waiting.append(file)
    main = next(iter(library.values()))
    return link(main, library, given)


def _read(path: Path) -> Grammar:
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise JsgfError(str(path), 1, "not UTF-8 text", "save the file as UTF-8") from error
    return parse(text, str(path))


def parse(text: str, file: str = "<text>") -> Grammar:
    """Read one grammar. Without imports it is checked whole; with imports, `load` does that once all are there."""
    grammar = _Parser(text, file).grammar()
    if not grammar.imports:
        check(grammar)
    return grammar


def write(grammar: Grammar) -> str:
    """The grammar as JSGF text again; reading it gives the same rules.

    A linked grammar is written as one file: the rules that came from others have the other's name before their own
    ('numbers-count'), and rules without a body are imported.
    """
    short = {name: name.removeprefix(f"{grammar.name}.").replace(".", "-") for name in grammar.rules}
    named = {ref for rule in grammar.rules.values() for ref in refs(rule.body)}
    given = {f"{ref.rpartition('.')[0]}.*" for ref in named if "." in ref and ref not in grammar.rules}
    lines = [f"#JSGF {grammar.header};", f"grammar {grammar.name};"]
    lines += [f"import <{name}>;" for name in grammar.imports or sorted(given)]
    for rule in grammar.rules.values():
        lines += [f"/** {rule.doc} */"] if rule.doc else []
        lines.append(f"{'public ' if rule.public else ''}<{short[rule.name]}> = {_written(rule.body, short)};")
    return "\n".join(lines) + "\n"


def _written(item: Expansion, short: Mapping[str, str]) -> str:
    def grouped(part: Expansion, *wrapped: type) -> str:
        return f"({_written(part, short)})" if isinstance(part, wrapped) else _written(part, short)

    match item:
        case Word(text):
            return _quoted(text) if _SPECIAL_CHARACTERS.search(text) else text
        case Ref(name):
            return f"<{short.get(name, name)}>"
        case Sequence(items):
            return " ".join(grouped(part, Choice, Sequence) for part in items)
        case Choice():
            return " | ".join(
                f"{f'/{weight:g}/ ' if item.weights else ''}{grouped(part, Choice)}" for part, weight in item.weighted()
            )
        case Maybe(inner):
            return f"[{_written(inner, short)}]"
        case Repeat(inner, least):
            return f"{grouped(inner, Choice, Sequence, Repeat, Tagged)}{'+' if least else '*'}"
        case Tagged(inner, tag):
            escaped = tag.replace("\\", "\\\\").replace("}", "\\}")
            return f"{grouped(inner, Choice, Sequence)} {{{escaped}}}"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


class _Parser:
    """Recursive descent over one file; each method reads what its name says."""

    def __init__(self, text: str, file: str) -> None:
        self._file = file
        header = _HEADER.match(text)
        if header is None:
            raise JsgfError(file, 1, "no JSGF header", "begin the file with '#JSGF V1.0 UTF-8 en;'")
        self._header = header[1]
        self._tokens = list(self._scan(text, header.end()))
        self._at = 0
        self._depth = 0

    def _scan(self, text: str, start: int) -> Iterator[_Token]:
        line = 1 + text.count("\n", 0, start)
        while start < len(text):
            found = _TOKEN.match(text, start)
            if found is None:
                raise self._unreadable(text[start:], line)
            if found.lastgroup != "space":
                yield _Token(str(found.lastgroup), found[0], line)
            line += found[0].count("\n")
            start = found.end()
        yield _Token("end", "", line)

    def _unreadable(self, rest: str, line: int) -> JsgfError:
        mends = {
            '"': "close the quotation mark, with something in it",
            "{": "close the tag with '}'",
            "<": "close the rule name with '>', with no space in it",
            "/": "close the comment or the weight; a weight is a number such as /0.5/",
        }
        return JsgfError(self._file, line, f"cannot read {rest[:1]!r} here", mends.get(rest[:1], "take it out"))

    def grammar(self) -> Grammar:
        doc = self._doc()
        name = self._declaration("grammar", doc)
        imports: list[str] = []
        doc = self._doc()
        while self._peek().text == "import" and self._peek(1).kind == "ref":
            self._next()
            imports.append(self._next().text[1:-1])
            self._expect(";", "end the import with ';'")
            doc = self._doc()
        return Grammar(name, self._rules(doc), tuple(imports), self._header, self._file)

    def _declaration(self, keyword: str, _: str) -> str:
        self._expect(keyword, "after the header, name the grammar: 'grammar bar;'")
        token = self._next()
        if token.kind != "word":
            raise self._fault(token, "the grammar has no name", "write 'grammar bar;'")
        self._expect(";", "end the declaration with ';'")
        return token.text

    def _rules(self, doc: str) -> dict[str, Rule]:
        rules: dict[str, Rule] = {}
        while self._peek().kind != "end":
            rule = self._rule(doc)
            if rule.name in rules:
                first = rules[rule.name].line
                mend = f"rename one of them; the first is on line {first}"
                raise JsgfError(self._file, rule.line, f"<{rule.name}> is defined twice", mend)
            rules[rule.name] = rule
            doc = self._doc()
        return rules

    def _rule(self, doc: str) -> Rule:
        public = self._peek().text == "public"
        if public:
            self._next()
        token = self._next()
        if token.kind != "ref" or "." in token.text:
            raise self._fault(token, f"{token.text!r} is not a rule to define", "write '<name> = ... ;'")
        name = token.text[1:-1]
        if name in ("NULL", "VOID"):
            raise self._fault(token, f"<{name}> has its meaning already", "choose another name")
        self._expect("=", "write '=' after the rule's name")
        body = self._choice()
        self._expect(";", "end the rule with ';'")
        return Rule(name, body, public, token.line, doc)

    def _choice(self) -> Expansion:
        options: list[Expansion] = []
        weights: list[float] = []
        while True:
            if self._peek().kind == "weight":
                weights.append(float(self._next().text.strip("/ \t\n").rstrip("f")))
            options.append(self._sequence())
            if self._peek().text != "|" or self._peek().kind != "mark":
                break
            self._next()
        if weights and len(weights) != len(options):
            raise self._fault(self._peek(), "some alternatives have a weight and some have none", "weigh all or none")
        return options[0] if len(options) == 1 and not weights else Choice(tuple(options), tuple(weights))

    def _sequence(self) -> Expansion:
        items: list[Expansion] = []
        while (item := self._item()) is not None:
            items.append(item)
        if not items:
            token = self._peek()
            mend = "write words here, or <NULL>; a tag follows what it belongs to"
            raise self._fault(token, f"nothing to say before {token.text or 'the end'!r}", mend)
        return items[0] if len(items) == 1 else Sequence(tuple(items))

    def _item(self) -> Expansion | None:
        item = self._simple()
        if item is None:
            return None
        if self._peek().kind == "mark" and self._peek().text in "*+":
            item = Repeat(item, 1 if self._next().text == "+" else 0)
        while self._peek().kind == "tag":
            item = Tagged(item, re.sub(r"\\(.)", r"\1", self._next().text[1:-1]).strip())
        return item

    def _simple(self) -> Expansion | None:
        token = self._peek()
        if token.kind == "word":
            return Word(self._next().text)
        if token.kind == "quoted":
            return Word(re.sub(r"\\(.)", r"\1", self._next().text[1:-1]))
        if token.kind == "ref":
            return Ref(self._next().text[1:-1])
        if token.kind == "mark" and token.text in _CLOSING:
            return self._group(self._next())
        return None

    def _group(self, opening: _Token) -> Expansion:
        self._depth += 1
        if self._depth > MAX_NESTING:
            raise self._fault(opening, f"groups are nested more than {MAX_NESTING} deep", "give the inner ones a rule")
        inner = self._choice()
        closing = _CLOSING[opening.text]
        self._expect(closing, f"close the '{opening.text}' of line {opening.line} with '{closing}'")
        self._depth -= 1
        return Maybe(inner) if opening.text == "[" else inner

    def _doc(self) -> str:
        doc = ""
        while self._peek().kind == "doc":
            lines = self._next().text[3:-2].splitlines()
            doc = "\n".join(line.strip().removeprefix("*").strip() for line in lines).strip()
        return doc

    def _peek(self, ahead: int = 0) -> _Token:
        return self._tokens[min(self._at + ahead, len(self._tokens) - 1)]

    def _next(self) -> _Token:
        token = self._peek()
        self._at += 1
        return token

    def _expect(self, text: str, mend: str) -> None:
        token = self._next()
        if token.text != text:
            raise self._fault(token, f"{text!r} is missing before {token.text or 'the end'!r}", mend)

    def _fault(self, token: _Token, problem: str, mend: str) -> JsgfError:
        return JsgfError(self._file, token.line, problem, mend)
