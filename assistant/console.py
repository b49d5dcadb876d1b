"""A reply as plain lines for a terminal: the same card that the page draws, in columns of letters."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any

import click

from assistant.messages import Bar, Bars, Block, Card, Cell, Figure, Note, Plot, Reply, Row, Steps, Table, Tone
from assistant.plotting import plotted
from assistant.wire import to_json

WIDTH = 88  # letters on a line
TRACK = 32  # letters of the longest bar
GAP = "  "
as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object a line instead of text.")
MARKS = {"warn": "! ", "good": "+ "}
CONVERSATION = "terminal"
NOT_UNDERSTOOD = 3  # exit code of a command that asked and was not understood
COLOURS: dict[Tone, dict[str, Any]] = {
    "plain": {},
    "good": {"fg": "green"},
    "warn": {"fg": "red"},
    "muted": {"dim": True},
    "strong": {"bold": True},
}


def render(reply: Reply, width: int = WIDTH) -> str:
    """All of a reply, at most `width` letters wide where words can be wrapped.

    Colour is written as terminal codes; click.echo takes them out where the output is no terminal.
    """
    parts = [*_wrapped(reply.say, width)]
    if reply.card is not None:
        parts += ["", *_card(reply.card, width)]
    if reply.cautions:
        parts += ["", *(line for caution in reply.cautions for line in _marked(caution, "warn", width))]
    if reply.asks is not None:
        parts += ["", *(f"- {choice.label}" for choice in reply.asks.choices)]
    if reply.undo is not None:
        parts += ["", "Say undo to take that back."]
    return "\n".join(parts)


def show(reply: Reply, as_json: bool = False) -> None:
    """Print a reply: for people as wide as their terminal at most, for programs as one JSON object on a line."""
    if as_json:
        click.echo(json.dumps(to_json(reply), ensure_ascii=False))
    else:
        click.echo(render(reply, min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns)))


def _card(card: Card, width: int) -> Iterator[str]:
    yield click.style(card.title, bold=True)
    if card.facts:
        yield from _wrapped(", ".join(card.facts), width)
    for block in card.blocks:
        yield ""
        yield from _block(block, width)


def _block(block: Block, width: int) -> Iterator[str]:
    match block:
        case Table():
            yield from _titled(block.title, _table(block, width))
        case Steps():
            yield from _titled(block.title, _steps(block, width))
        case Bars():
            yield from _titled(block.title, _bars(block))
        case Plot():
            yield from _titled(block.title, plotted(block))
        case Note():
            yield from _marked(block.text, block.tone, width)


def _titled(title: str, lines: Iterable[str]) -> Iterator[str]:
    if title:
        yield click.style(title, underline=True)
    yield from lines


# Tables


def _table(table: Table, width: int) -> Iterator[str]:
    figure_first = _reads_as_a_spec(table)
    grid = [_line_of(row, figure_first) for row in table.rows]
    rows = [list(table.heads), *grid] if table.heads else grid
    widths = [max(len(line[at]) for line in rows if at < len(line)) for at in range(max(map(len, rows), default=0))]
    right = [_flush_right(table, at, figure_first) for at in range(len(widths))]
    if table.heads:
        yield click.style(_columns(rows[0], widths, right), dim=True)
    for row, line in zip(table.rows, grid, strict=True):
        yield click.style(_columns(line, widths, right), **COLOURS[row.tone])
        indent = " " * (widths[0] + len(GAP)) if figure_first else GAP
        for note in textwrap.wrap(row.note, width, initial_indent=indent, subsequent_indent=indent):
            yield click.style(note, dim=True)


def _reads_as_a_spec(table: Table) -> bool:
    """A table without heads, one cell a line and a figure first, is read as bartenders read a spec: amount, name."""
    cells = [row.cells for row in table.rows]
    return bool(cells) and not table.heads and {len(each) for each in cells} == {1} and isinstance(cells[0][0], Figure)


def _line_of(row: Row, figure_first: bool) -> list[str]:
    label, cells = MARKS.get(row.tone, "") + row.label, [_text(cell) for cell in row.cells]
    return [*cells, label] if figure_first else [label, *cells]


def _flush_right(table: Table, at: int, figure_first: bool) -> bool:
    if figure_first:
        return at == 0
    cells = [row.cells[at - 1] for row in table.rows if 0 < at <= len(row.cells) and row.cells[at - 1]]
    return sum(isinstance(cell, Figure) for cell in cells) * 2 > len(cells)


def _columns(line: list[str], widths: list[int], right: list[bool]) -> str:
    cells = [
        text.rjust(width) if flush else text.ljust(width)
        for text, width, flush in zip(line, widths, right, strict=False)
    ]
    return GAP.join(cells).rstrip()


def _text(cell: Cell) -> str:
    return cell.text if isinstance(cell, Figure) else cell


# Steps, bars, sentences


def _steps(steps: Steps, width: int) -> Iterator[str]:
    for number, item in enumerate(steps.items, 1):
        now = steps.current == number - 1
        lead = f"{'>' if now else ' '} {number}. "
        lines = textwrap.wrap(item, width, initial_indent=lead, subsequent_indent=" " * len(lead))
        yield from (click.style(line, bold=True) if now else line for line in lines)


def _bars(bars: Bars) -> Iterator[str]:
    labels = max((len(bar.label) for bar in bars.bars), default=0)
    figures = max((len(figure.text) for bar in bars.bars for figure in _both(bar)), default=0)
    for bar, top in zip(bars.bars, bars.tops, strict=True):
        for figure, label, name in zip(_both(bar), (bar.label, ""), (*bars.names, "", ""), strict=False):
            aside = name if label == "" else f"{name} {_band(bar)}"
            line = (label.ljust(labels), _track(figure, top), figure.text.rjust(figures), aside.strip())
            yield GAP.join(line).rstrip()


def _both(bar: Bar) -> tuple[Figure, ...]:
    return (bar.figure,) if bar.second is None else (bar.figure, bar.second)


def _track(figure: Figure, top: Decimal) -> str:
    if figure.value is None:
        return "?".ljust(TRACK)
    filled = int(TRACK * max(Decimal(0), min(Decimal(1), figure.value / top)))
    return ("#" * filled).ljust(TRACK, ".")


def _band(bar: Bar) -> str:
    if bar.low is None or bar.high is None:
        return ""
    return f"(usually {bar.low.normalize():f} to {bar.high.normalize():f})"


def _marked(text: str, tone: Tone, width: int) -> Iterator[str]:
    lead = MARKS.get(tone, "")
    for line in textwrap.wrap(text, width, initial_indent=lead, subsequent_indent=" " * len(lead)):
        yield click.style(line, **COLOURS[tone])


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width) or [""]
