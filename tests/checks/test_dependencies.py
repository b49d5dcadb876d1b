"""The libraries against the faults that were published of them: what is asked for, what is installed, what is new."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.checks.advisories import Advisory, asked_for, brought, looked_up, lowest

KNOWN = looked_up()


@pytest.mark.parametrize("asked", asked_for("postgres", "test", building=True), ids=str)
def test_no_library_is_asked_for_in_a_version_with_a_known_fault(asked: Requirement) -> None:
    """Whoever installs the oldest versions that we allow gets none of the faults published of them."""
    known = KNOWN.get(canonicalize_name(asked.name), ())
    faults = {advisory.id: advisory.fixed_in for advisory in known if not advisory.mended_in(lowest(asked))}
    assert not faults, f"raise {asked.name} in pyproject.toml to what mends these: {faults}"


def test_no_installed_library_has_a_known_fault() -> None:
    """Neither what we ask for nor what comes with it is installed in a version with a published fault."""
    installed = {name: found for name in brought(asked_for("postgres", "test")) if (found := _installed(name))}
    faults = [
        f"{name} {found}: {advisory.id}, mended in {advisory.fixed_in}"
        for name, found in sorted(installed.items())
        for advisory in KNOWN.get(name, ())
        if advisory.affects(found)
    ]
    assert not faults, "pip install --upgrade what has these: " + "; ".join(faults)


def test_every_library_that_runs_in_a_bar_was_looked_up() -> None:
    """A library that comes new, by our asking or by another library's, was looked up by somebody."""
    strangers = brought(asked_for("postgres")) - KNOWN.keys()
    assert not strangers, (
        f"nobody has looked up {', '.join(sorted(strangers))}: see what is published against it (pip-audit, osv.dev), "
        "then name it in tests/checks/advisories.toml, under nothing_found or as [package.NAME] with what was found"
    )


@pytest.mark.parametrize(
    ("found", "affected"), [("1.9", False), ("2.0", True), ("2.9.9", True), ("2.10", False), ("3.0", False)]
)
def test_a_fault_is_in_the_versions_from_its_first_to_its_mending(found: str, affected: bool) -> None:
    """The first version with it has it, the one that mends it has not, and 2.10 is newer than 2.9.9."""
    fault = Advisory("shaker", "CVE-0", since="2.0", fixed_in="2.10", source="made up")
    assert fault.affects(Version(found)) is affected


def test_what_comes_with_a_library_is_found() -> None:
    """Flask brings Werkzeug, which brings MarkupSafe, whoever spells their names how."""
    assert {"flask", "werkzeug", "markupsafe"} <= brought([Requirement("Flask")])


def _installed(name: str) -> Version | None:
    try:
        return Version(version(name))
    except PackageNotFoundError:
        return None
