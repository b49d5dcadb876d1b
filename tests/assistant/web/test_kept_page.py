"""What the server has browsers keep for when it is away."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from assistant.web import create_app
from assistant.web.devices import Devices
from assistant.web.pairing import Pairing
from tests.assistant.fakes import FakeServices


@pytest.fixture
def script() -> str:
    """The worker, as it is sent."""
    answer = create_app(FakeServices()).test_client().get("/away.js")
    assert answer.mimetype == "text/javascript"
    return answer.get_data(as_text=True)


def test_all_that_the_page_is_made_of_is_kept(script: str) -> None:
    """Every file that the page names, and every module that those import; each is really there."""
    client = create_app(FakeServices()).test_client()
    files = json.loads(re.search(r"const FILES = (.*);", script)[1])  # type: ignore[index]
    wanted = set(re.findall(r"/static/[\w.-]+", client.get("/").get_data(as_text=True)))
    assert wanted
    for file in files:
        with client.get(file) as sent:
            assert sent.status_code == 200, file
            text = sent.get_data(as_text=True)
        wanted |= {f"/static/{name}" for name in re.findall(r'"(?:\./)?([\w-]+\.js)"', text)}
    assert wanted - set(files) <= {"/static/away.js"}


def test_the_manager_s_files_are_not_kept(script: str) -> None:
    """Those pages need the server, and are nobody else's."""
    files = json.loads(re.search(r"const FILES = (.*);", script)[1])  # type: ignore[index]
    assert [file for file in files if "office" in file or "list" in file] == []


def test_only_who_joined_is_given_it(tmp_path: Path) -> None:
    """As with the page itself."""
    app = create_app(FakeServices(), pairing=Pairing(Devices(tmp_path / "devices.json")))
    assert app.test_client().get("/away.js").status_code == 401
