"""Where the memory's tests keep their databases: a file of SQLite's and a schema of PostgreSQL's, each test on both."""

from __future__ import annotations

import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import create_engine
from sqlalchemy.engine import make_url

POSTGRES = "PREP_ASSISTANT_TEST_POSTGRES"  # URL of a PostgreSQL database for tests; .ci/run starts one and sets it
IN_CI = "CI"


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """An empty database of the test's own, on each kind of database in turn."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'data' / 'shift.db'}"
        return
    with own_schema(postgres()) as own:
        yield own


@pytest.fixture
def postgres_url() -> Iterator[str]:
    """An empty database of the test's own, on PostgreSQL."""
    with own_schema(postgres()) as own:
        yield own


def postgres() -> str:
    """The URL of the PostgreSQL that tests may use; without one the test is skipped, and fails in CI."""
    found = os.environ.get(POSTGRES)
    if found:
        return found
    if os.environ.get(IN_CI):
        pytest.fail(f"{POSTGRES} is not set, and in CI no test of PostgreSQL may be left out")
    pytest.skip(f"no PostgreSQL: set {POSTGRES} to the URL of one for tests")


@contextmanager
def own_schema(database: str) -> Iterator[str]:
    """A schema that is there for one test; a schema is PostgreSQL's folder of tables."""
    name = f"test_{uuid.uuid4().hex}"
    admin = create_engine(database, isolation_level="AUTOCOMMIT")
    try:
        with admin.connect() as connection:
            connection.exec_driver_sql(f"CREATE SCHEMA {name}")
        within = make_url(database).update_query_dict({"options": f"-csearch_path={name}"})
        yield within.render_as_string(hide_password=False)
        with admin.connect() as connection:
            connection.exec_driver_sql(f"DROP SCHEMA {name} CASCADE")
    finally:
        admin.dispose()
