"""On a network only devices that joined are answered, over every address there is, and none may crowd out the rest."""

from __future__ import annotations

from http.cookies import SimpleCookie
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from assistant.web import create_app
from assistant.web.devices import LASTS, Devices
from assistant.web.door import ASKING, COOKIE, NOT_NOTED, OPEN, SOUNDS
from assistant.web.pairing import TRIES, Pairing
from tests.assistant.fakes import FakeServices

HERE = "https://localhost"


@pytest.fixture
def services() -> FakeServices:
    """Canned replies."""
    return FakeServices()


@pytest.fixture
def pairing(tmp_path: Path) -> Pairing:
    """A door with nobody in yet."""
    return Pairing(Devices(tmp_path / "devices.json"))


@pytest.fixture
def app(services: FakeServices, pairing: Pairing) -> Flask:
    """The app as a network sees it."""
    return create_app(services, pairing=pairing)


@pytest.fixture
def stranger(app: Flask) -> FlaskClient:
    """A device that has not joined."""
    return app.test_client()


@pytest.fixture
def joined(app: Flask, pairing: Pairing) -> FlaskClient:
    """A device that has."""
    client = app.test_client()
    assert client.post("/api/join", base_url=HERE, json={"code": pairing.new_code()}).status_code == 200
    return client


def addresses(app: Flask) -> list[tuple[str, str]]:
    """Every method and address of the app but those that are open, with something in each blank."""
    urls = app.url_map.bind("localhost")
    return [
        (method, urls.build(rule.endpoint, dict.fromkeys(rule.arguments, "x")))
        for rule in app.url_map.iter_rules()
        if rule.endpoint not in OPEN
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"})
    ]


def test_a_stranger_is_answered_nothing(app: Flask, stranger: FlaskClient, services: FakeServices) -> None:
    """Whatever address is tried, a stranger is sent to join or refused, and no question reaches the talk."""
    for method, path in [*addresses(app), ("GET", "/nothing"), ("POST", "/api/nothing")]:
        answer = stranger.open(path, method=method, base_url=HERE, json={"text": "undo"})
        assert answer.status_code in ((302,) if path == "/" else (401,)), (method, path)
        assert "Test Bar" not in answer.get_data(as_text=True)
    assert services.asked == []


def test_the_page_sends_a_stranger_to_join(stranger: FlaskClient) -> None:
    """Who opens the address sees where to put the code; the page that asks for it loads whole."""
    answer = stranger.get("/", base_url=HERE, follow_redirects=True)
    assert (answer.request.path, answer.status_code) == ("/join", 200)
    for file in ("join.js", "join.css", "page.css", "wheel.svg"):
        with stranger.get(f"/static/{file}", base_url=HERE) as part:
            assert part.status_code == 200
            assert file in answer.get_data(as_text=True)


def test_who_gives_the_code_is_in(joined: FlaskClient, services: FakeServices) -> None:
    """From then on the device is answered as on the machine itself."""
    assert joined.post("/api/ask", base_url=HERE, json={"text": "spec for a clover club"}).status_code == 200
    assert joined.get("/", base_url=HERE).status_code == 200
    assert len(services.asked) == 1


def test_the_token_is_kept_from_scripts_from_other_sites_and_from_plain_connections(
    stranger: FlaskClient, pairing: Pairing
) -> None:
    """The cookie is for https, for this host, out of reach of scripts, and ends when the device's time does."""
    answer = stranger.post("/api/join", base_url=HERE, json={"code": pairing.new_code()})
    cookie = SimpleCookie(answer.headers["Set-Cookie"])[COOKIE]
    assert (cookie["secure"], cookie["httponly"], cookie["samesite"]) == (True, True, "Strict")
    assert (cookie["path"], cookie["domain"], int(cookie["max-age"])) == ("/", "", LASTS.total_seconds())
    assert pairing.devices.known(cookie.value)
    assert cookie.value not in answer.get_data(as_text=True)


@pytest.mark.parametrize("token", ["", "x", "\xff", "a" * 3000])
def test_a_made_up_token_is_a_stranger_s(stranger: FlaskClient, token: str) -> None:
    """A cookie that nobody was given opens nothing and breaks nothing."""
    stranger.set_cookie(COOKIE, token, domain="localhost")
    assert stranger.post("/api/ask", base_url=HERE, json={"text": "undo"}).status_code == 401


def test_a_device_that_cannot_be_noted_is_told_so(tmp_path: Path) -> None:
    """As on a disk that is full or may only be read: a sentence, and nobody is let in who would not be known later."""
    (tmp_path / "lan").write_text("in the way")
    pairing = Pairing(Devices(tmp_path / "lan" / "devices.json"))
    client = create_app(FakeServices(), pairing=pairing).test_client()
    answer = client.post("/api/join", base_url=HERE, json={"code": pairing.new_code()})
    assert (answer.status_code, answer.get_json()["error"]) == (503, NOT_NOTED)
    assert client.post("/api/ask", base_url=HERE, json={"text": "undo"}).status_code == 401


def test_a_device_turned_out_is_asked_to_join(joined: FlaskClient, pairing: Pairing) -> None:
    """Its page is told by a header to go where the code is given."""
    pairing.devices.forget_all()
    answer = joined.post("/api/ask", base_url=HERE, json={"text": "undo"})
    assert (answer.status_code, answer.headers["WWW-Authenticate"]) == (401, "JoiningCode")
    assert "not joined" in answer.get_json()["error"]


@pytest.mark.parametrize(
    ("body", "status", "words"),
    [
        ({"code": "222222"}, 403, "not the code"),
        ({"code": ""}, 422, "six letters"),
        ({"code": "2" * 50}, 422, "six letters"),
        ({"code": 222222}, 422, "six letters"),
        ({}, 422, "six letters"),
        ({"code": "222222", "whom": "me"}, 422, "no field whom"),
    ],
)
def test_a_wrong_code_is_refused_in_a_sentence(
    stranger: FlaskClient, body: dict[str, object], status: int, words: str
) -> None:
    """What is wrong is said, and no cookie is given."""
    answer = stranger.post("/api/join", base_url=HERE, json=body)
    assert (answer.status_code, words in answer.get_json()["error"]) == (status, True), answer.get_json()
    assert "Set-Cookie" not in answer.headers


def test_who_guesses_is_told_how_long_to_wait(stranger: FlaskClient, pairing: Pairing) -> None:
    """After five tries the sentence has the seconds, and so has the header that programs read."""
    pairing.new_code()
    for _ in range(TRIES.burst):
        stranger.post("/api/join", base_url=HERE, json={"code": "000000"})
    answer = stranger.post("/api/join", base_url=HERE, json={"code": "000000"})
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "12")
    assert "Wait 12 seconds" in answer.get_json()["error"]


def test_another_site_cannot_join_for_a_device(stranger: FlaskClient, pairing: Pairing) -> None:
    """A page elsewhere that knows the code can do nothing with it from a phone's browser."""
    answer = stranger.post(
        "/api/join",
        base_url=HERE,
        json={"code": pairing.new_code()},
        headers={"Origin": "https://elsewhere.example"},
    )
    assert answer.status_code == 403


def test_a_device_that_asks_without_end_is_told_to_wait_and_others_are_answered(
    app: Flask, joined: FlaskClient, pairing: Pairing
) -> None:
    """A script on one phone gets sixty answers and a sentence; the next phone is answered."""
    ask = {"base_url": HERE, "json": {"text": "next"}}
    statuses = [joined.post("/api/ask", **ask).status_code for _ in range(ASKING.burst + 10)]
    assert statuses[: ASKING.burst] == [200] * ASKING.burst
    last = joined.post("/api/ask", **ask)
    assert (last.status_code, last.headers["Retry-After"]) == (429, "1")
    assert last.get_json()["error"].endswith("ask again.")
    other = app.test_client()
    other.post("/api/join", base_url=HERE, json={"code": pairing.new_code()})
    assert other.post("/api/ask", **ask).status_code == 200


def test_sound_is_let_in_at_a_slower_pace(joined: FlaskClient) -> None:
    """Each sound keeps a recogniser busy, so one device may not send them one after another without end."""
    sound = {"base_url": HERE, "data": bytes(3200), "content_type": "application/octet-stream"}
    statuses = [joined.post("/api/hear", **sound).status_code for _ in range(SOUNDS.burst + 1)]
    assert statuses == [200] * SOUNDS.burst + [429]
