"""The law of the folders: arrows point one way, and the engine touches nothing."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FORBIDDEN = {
    "recipes": {"grammar", "assistant", "flask", "sqlalchemy", "logging", "random", "datetime", "time", "socket"},
    "grammar": {"recipes", "assistant", "flask", "sqlalchemy", "pocketsphinx", "vosk", "random", "socket"},
}


def imports(path: Path) -> set[str]:
    """The top-level packages that a module imports."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module.split(".")[0])
    return found


@pytest.mark.parametrize("package", sorted(FORBIDDEN))
def test_a_package_imports_only_what_its_law_allows(package: str) -> None:
    """No module of the engine or the grammar reaches for the world or for a sibling."""
    broken = {
        str(path.relative_to(ROOT)): sorted(imports(path) & FORBIDDEN[package])
        for path in (ROOT / package).rglob("*.py")
        if imports(path) & FORBIDDEN[package]
    }
    assert broken == {}


def test_only_the_loader_opens_files() -> None:
    """In the engine, one module reads files: the loader."""
    openers = {
        path.name
        for path in (ROOT / "recipes").rglob("*.py")
        if imports(path) & {"pathlib", "os", "io", "tomllib", "importlib"}
    }
    assert openers <= {"loader.py"}
