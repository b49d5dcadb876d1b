"""Checks the shape of a page's entries, and turns what pydantic finds into faults with a mend."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from recipes.faults import Fault, Page, Place, nearest, write_instead

Model = TypeVar("Model", bound=BaseModel)
QUOTED = re.compile(r"'([^']*)'")
LIMITS = {
    "greater_than": ("gt", "not above"),
    "greater_than_equal": ("ge", "below"),
    "less_than": ("lt", "not below"),
    "less_than_equal": ("le", "above"),
}


@dataclass(frozen=True)
class Written(Generic[Model]):
    """An entry of the right shape, and where it stands."""

    place: Place
    entry: Model


def read_head(page: Page, model: type[Model], tables: tuple[str, ...], found: list[Fault]) -> Written[Model] | None:
    """The keys at the top of a page, without its tables; faults go to `found`."""
    head = {key: value for key, value in page.data.items() if key not in tables}
    return _read(Place(page), head, model, found)


def read_entries(page: Page, table: str, model: type[Model], found: list[Fault]) -> list[Written[Model]]:
    """The entries `[[table]]` of a page that have the right shape; faults of the others go to `found`."""
    rows = page.data.get(table, [])
    if not isinstance(rows, list) or not all(isinstance(row, Mapping) for row in rows):
        found.append(Place(page, table).fault("", f'"{table}" is not a list of entries', f"write [[{table}]]"))
        return []
    places = (Place(page, table, index, _name(row)) for index, row in enumerate(rows))
    entries = (_read(place, row, model, found) for place, row in zip(places, rows, strict=True))
    return [entry for entry in entries if entry is not None]


def _name(row: Mapping[str, Any]) -> str:
    return str(row.get("name") or row.get("id") or "")


def _read(place: Place, row: Mapping[str, Any], model: type[Model], found: list[Fault]) -> Written[Model] | None:
    try:
        return Written(place, model.model_validate(row))
    except ValidationError as error:
        details = error.errors()
        misspelt = _misspelt(model, details)
        found += [_fault(place, model, d) for d in details if not (d["type"] == "missing" and d["loc"] in misspelt)]
        return None


def _misspelt(model: type[BaseModel], details: list[ErrorDetails]) -> set[tuple[int | str, ...]]:
    """Where a key is missing only because it is there under a slip of the finger."""
    extra = [detail["loc"] for detail in details if detail["type"] == "extra_forbidden"]
    owners = {loc: _accepted(model, [part for part in loc if isinstance(part, str)])[0] for loc in extra}
    return {(*loc[:-1], nearest(str(loc[-1]), owner.model_fields) or "") for loc, owner in owners.items()}


def _fault(place: Place, model: type[BaseModel], detail: ErrorDetails) -> Fault:
    keys = [part for part in detail["loc"] if isinstance(part, str)]
    item = str(detail["input"]) if isinstance(detail["loc"][-1], int) else ""
    owner, accepted = _accepted(model, keys)
    problem, mend = _sentence(detail, keys[-1], owner, accepted)
    return place.fault(".".join(keys), problem, mend, item)


def _accepted(model: type[BaseModel], keys: list[str]) -> tuple[type[BaseModel], str]:
    """The model that holds the last key, and what that key accepts."""
    info = model.model_fields.get(keys[0])
    if info is None:
        return model, ""
    inner = next((a for a in _types(info.annotation) if _is_model(a)), None)
    if inner is None or len(keys) == 1:
        return model, info.description or ""
    return _accepted(inner, keys[1:])


def _types(annotation: Any) -> tuple[Any, ...]:
    return get_args(annotation) or (annotation,)


def _is_model(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _sentence(detail: ErrorDetails, key: str, owner: type[BaseModel], accepted: str) -> tuple[str, str]:
    """Problem and mend for one finding of pydantic."""
    kind, given, context = detail["type"], detail["input"], detail.get("ctx", {})
    if kind == "extra_forbidden":
        known = list(owner.model_fields)
        return f'there is no key "{key}"', write_instead(key, known, f"use only: {', '.join(known)}")
    if kind == "missing":
        return f'"{key}" is missing', accepted
    if kind in ("enum", "literal_error"):
        choices = QUOTED.findall(str(context["expected"]))
        return f'"{given}" is not known as {key}', write_instead(str(given), choices, accepted)
    if kind in LIMITS:
        name, relation = LIMITS[kind]
        return f"{given} is {relation} {context[name]}", accepted
    if kind == "value_error":
        return str(context["error"]), accepted
    return f"{given!r} does not fit here ({detail['msg'][:1].lower()}{detail['msg'][1:]})", accepted
