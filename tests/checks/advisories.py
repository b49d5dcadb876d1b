"""The faults that the libraries are known for (advisories.toml), and which libraries the project brings with it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Set
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path
from typing import Any

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

HERE = Path(__file__).parent
OF_A_PLATFORM = ("sys_platform", "platform_system", "platform_machine", "os_name")  # words of a requirement's marker


@dataclass(frozen=True)
class Advisory:
    """A published fault of one library, in its versions from `since` until `fixed_in`."""

    package: str
    id: str
    fixed_in: str
    source: str
    since: str = "0"
    alias: str = ""

    def mended_in(self, version: Version) -> bool:
        """Whether a version is the one that mends it, or newer."""
        return version >= Version(self.fixed_in)

    def affects(self, version: Version) -> bool:
        """Whether a version has the fault."""
        return version >= Version(self.since) and not self.mended_in(version)


def looked_up() -> dict[str, tuple[Advisory, ...]]:
    """What is known against each library that somebody has looked up."""
    file = _toml(HERE / "advisories.toml")
    found = {
        name: tuple(Advisory(package=name, **row) for row in package["advisories"])
        for name, package in file["package"].items()
    }
    return dict.fromkeys(file["nothing_found"], ()) | found


def asked_for(*extras: str, building: bool = False) -> list[Requirement]:
    """What pyproject.toml asks for to run, with some extras, and to build."""
    file = _toml(HERE.parents[1] / "pyproject.toml")
    lines = list(file["project"]["dependencies"])
    for extra in extras:
        lines += file["project"]["optional-dependencies"][extra]
    return [Requirement(line) for line in lines + (file["build-system"]["requires"] if building else [])]


def brought(asked: Iterable[Requirement]) -> set[str]:
    """The names of these, and of all that comes with them as far as they are installed.

    What comes only on some platforms is left out, so that the answer is the same on each.
    """
    waiting, met = list(asked), set[tuple[str, frozenset[str]]]()
    while waiting:
        library = waiting.pop()
        name = (canonicalize_name(library.name), frozenset(library.extras))
        if name not in met:
            met.add(name)
            waiting += _comes_with(library)
    return {name for name, _ in met}


def lowest(asked: Requirement) -> Version:
    """The lowest version that a requirement allows. Raises ValueError for one without a lower bound."""
    return max(Version(bound.version) for bound in asked.specifier if bound.operator in (">=", "=="))


def _comes_with(library: Requirement) -> list[Requirement]:
    try:
        lines = distribution(library.name).requires or []
    except PackageNotFoundError:
        return []
    return [asked for asked in map(Requirement, lines) if _comes(asked, library.extras)]


def _comes(asked: Requirement, extras: Set[str]) -> bool:
    if asked.marker is None:
        return True
    if any(word in str(asked.marker) for word in OF_A_PLATFORM):
        return False
    return any(asked.marker.evaluate({"extra": extra}) for extra in {"", *extras})


def _toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))
