"""The manager's PIN at the page's door, with the real talk behind it."""

from __future__ import annotations

import io
import logging
import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
import soundfile
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

import recipes
from assistant.answers.pins import NEEDED, NOT_HERE
from assistant.ears.scripted import Scripted
from assistant.pin import Work
from assistant.services import Services
from assistant.web import create_app
from assistant.web.devices import Devices
from assistant.web.pairing import Pairing

PIN, WRONG = "482913", "482914"
COST = "what does a gimlet cost"
HTTPS = "https://localhost"
PHONE = {"REMOTE_ADDR": "192.0.2.7"}


class Clock:
    """A clock that a test sets."""

    now = datetime(2024, 3, 4, 12, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    """Noon on a Monday."""
    return Clock()


@pytest.fixture
def services(tmp_path: Path, clock: Clock) -> Iterator[Services]:
    """The real assistant, in a house that hides its costs, with no PIN yet."""
    folder = tmp_path / "book"
    shutil.copytree(Path(recipes.__file__).parent / "book", folder)
    file = folder / "house.toml"
    file.write_text(file.read_text("utf-8").replace("pin_also_for = []", 'pin_also_for = ["costs"]'), "utf-8")
    services = Services(folder, f"sqlite:///{tmp_path / 'shift.db'}", clock)
    services.manager._work = Work(2, 1, 1)
    yield services
    services.close()


@pytest.fixture
def client(services: Services) -> FlaskClient:
    """A browser on this machine."""
    return create_app(services, hosts=("192.0.2.1",), office=services).test_client()


@pytest.fixture
def phone(client: FlaskClient) -> FlaskClient:
    """A browser elsewhere on the network, with cookies of its own."""
    phone = client.application.test_client()
    phone.environ_base.update(PHONE)
    return phone


def post(client: FlaskClient, what: str, digits: str = "") -> TestResponse:
    """Set, unlock or lock."""
    return client.post(f"/api/pin/{what}", json={"pin": digits})


def ask(client: FlaskClient, text: str, who: str = "") -> TestResponse:
    """A typed question in one conversation of all clients: what is allowed hangs on the device alone."""
    return client.post("/api/ask", json={"text": text, "conversation": "bar", "who": who})


class TestSetting:
    """The first PIN."""

    def test_it_is_set_at_this_machine(self, client: FlaskClient, services: Services) -> None:
        """The page offers it only where none is set, and what is set works."""
        assert client.get("/api/pin").get_json()["may_set"] is True
        assert post(client, "set", PIN).status_code == 200
        assert client.get("/api/pin").get_json() == {"say": "", "unlocked_s": 0, "has_pin": True, "may_set": False}
        assert services.manager.unlock(PIN, "here")

    def test_not_from_elsewhere(self, phone: FlaskClient, services: Services) -> None:
        """Else the first guest on the network would be the manager."""
        assert phone.get("/api/pin").get_json()["may_set"] is False
        answer = post(phone, "set", PIN)
        assert (answer.status_code, answer.get_json()["error"]) == (403, NOT_HERE)
        assert not services.manager.has_pin()

    @pytest.mark.parametrize("header", ["Forwarded", "X-Forwarded-For"])
    def test_nor_through_another_server(self, client: FlaskClient, services: Services, header: str) -> None:
        """Behind one, every request seems to come from this machine."""
        answer = client.post("/api/pin/set", json={"pin": PIN}, headers={header: "for=192.0.2.7"})
        assert answer.status_code == 403
        assert not services.manager.has_pin()

    def test_at_this_machine_under_its_own_address(self, client: FlaskClient) -> None:
        """With --lan the page is not reached over the loopback."""
        client.environ_base["REMOTE_ADDR"] = "192.0.2.1"
        assert post(client, "set", PIN).status_code == 200

    def test_the_page_does_not_change_one(self, client: FlaskClient, services: Services) -> None:
        """Only the terminal does."""
        post(client, "set", PIN)
        assert post(client, "set", "739201").status_code == 403
        assert services.manager.unlock(PIN, "here")

    @pytest.mark.parametrize(("digits", "word"), [("4829", "6 to 12 digits"), ("123456", "guessed at once")])
    def test_a_poor_one_is_refused(self, client: FlaskClient, digits: str, word: str) -> None:
        """And it says why."""
        answer = post(client, "set", digits)
        assert (answer.status_code, word in answer.get_json()["error"]) == (422, True)


class TestUnlocking:
    """On one device, for a time."""

    @pytest.fixture(autouse=True)
    def with_a_pin(self, services: Services) -> None:
        """One is set."""
        services.manager.set_pin(PIN)

    def test_costs_are_shown_on_the_device_that_is_unlocked_and_on_no_other(
        self, client: FlaskClient, phone: FlaskClient
    ) -> None:
        """Though both are in one conversation."""
        answer = post(client, "unlock", PIN).get_json()
        assert answer["unlocked_s"] == 1800
        assert "thirty minutes" in answer["say"]
        assert ask(client, COST).get_json()["card"]["kind"] == "cost"
        assert ask(phone, COST).status_code == 403
        assert ask(phone, "say that again").status_code == 403

    def test_until_the_half_hour_is_over(self, client: FlaskClient, clock: Clock) -> None:
        """Then it is asked for again."""
        post(client, "unlock", PIN)
        clock.now += timedelta(minutes=29, seconds=59)
        assert ask(client, COST).status_code == 200
        clock.now += timedelta(seconds=1)
        assert ask(client, COST).status_code == 403

    @pytest.mark.parametrize("way", ["pressed", "said"])
    def test_or_until_it_is_locked(self, client: FlaskClient, way: str) -> None:
        """By the button or by voice; the cookie is taken back too."""
        post(client, "unlock", PIN)
        answer = post(client, "lock") if way == "pressed" else ask(client, "lock the page")
        assert answer.status_code == 200
        assert "manager=;" in answer.headers["Set-Cookie"]
        assert ask(client, COST).status_code == 403

    def test_a_cookie_that_was_kept_opens_nothing_then(self, client: FlaskClient, services: Services) -> None:
        """Locking is done by the server, not by the browser's good will."""
        post(client, "unlock", PIN)
        cookie = client.get_cookie("manager")
        assert cookie is not None
        post(client, "lock")
        client.set_cookie("manager", cookie.value)
        assert ask(client, COST).status_code == 403

    def test_no_script_can_read_the_cookie(self, client: FlaskClient) -> None:
        """Nor another site send it."""
        cookie = post(client, "unlock", PIN).headers["Set-Cookie"]
        assert all(part in cookie for part in ("HttpOnly", "SameSite=Strict", "Max-Age=1800", "Path=/"))
        assert PIN not in cookie

    def test_over_https_it_stays_there(self, client: FlaskClient) -> None:
        """With the prefix by which browsers keep it to this host."""
        answer = client.post("/api/pin/unlock", json={"pin": PIN}, base_url="https://localhost")
        cookie = answer.headers["Set-Cookie"]
        assert cookie.startswith("__Host-manager=")
        assert "Secure" in cookie

    def test_after_five_wrong_ones_the_right_one_waits_too(self, client: FlaskClient, phone: FlaskClient) -> None:
        """With the time to wait in words and in the header; another device need not wait."""
        assert [post(phone, "unlock", WRONG).status_code for _ in range(5)] == [403] * 5
        answer = post(phone, "unlock", PIN)
        assert (answer.status_code, answer.headers["Retry-After"]) == (429, "900")
        assert "Wait fifteen minutes" in answer.get_json()["error"]
        assert post(client, "unlock", PIN).status_code == 200

    def test_joined_devices_are_told_apart_though_their_address_is_one(
        self, services: Services, tmp_path: Path
    ) -> None:
        """A guest's wrong tries keep the guest's phone waiting, and not the manager's behind the same router."""
        pairing = Pairing(Devices(tmp_path / "devices.json"))
        app, code = create_app(services, pairing=pairing), pairing.new_code()
        guest, manager = app.test_client(), app.test_client()
        for phone in (guest, manager):
            phone.post("/api/join", json={"code": code}, base_url=HTTPS)

        def unlock(phone: FlaskClient, digits: str) -> int:
            return phone.post("/api/pin/unlock", json={"pin": digits}, base_url=HTTPS).status_code

        assert [unlock(guest, WRONG) for _ in range(6)] == [403] * 5 + [429]
        assert unlock(manager, PIN) == 200

    def test_the_log_names_a_device_as_the_list_of_devices_does(
        self, services: Services, tmp_path: Path, caplog: pytest.LogCaptureFixture
    ) -> None:
        """So that whoever tries PINs can be turned out."""
        pairing = Pairing(Devices(tmp_path / "devices.json"))
        guest = create_app(services, pairing=pairing).test_client()
        guest.post("/api/join", json={"code": pairing.new_code()}, base_url=HTTPS)
        guest.post("/api/pin/unlock", json={"pin": WRONG}, base_url=HTTPS)
        (device,) = pairing.devices.all()
        assert f"a wrong PIN from device {device.name}" in caplog.text

    def test_a_made_up_source_gives_no_new_tries(self, phone: FlaskClient) -> None:
        """A header that names another address is not believed."""
        for n in range(5):
            header = {"X-Forwarded-For": f"198.51.100.{n}"}
            phone.post("/api/pin/unlock", json={"pin": WRONG}, headers=header)
        assert post(phone, "unlock", PIN).status_code == 429

    def test_another_site_cannot_type_it(self, client: FlaskClient) -> None:
        """Guesses are not made through a browser that happens to be here."""
        answer = client.post("/api/pin/unlock", json={"pin": PIN}, headers={"Origin": "http://elsewhere.example"})
        assert answer.status_code == 403
        assert "Set-Cookie" not in answer.headers

    def test_what_is_typed_is_in_no_log_and_no_answer(
        self, client: FlaskClient, caplog: pytest.LogCaptureFixture
    ) -> None:
        """Right, wrong, or of the wrong shape."""
        with caplog.at_level(logging.DEBUG):
            answers = [post(client, "unlock", digits) for digits in (WRONG, PIN)]
            answers += [
                client.post("/api/pin/unlock", json={"pin": int(PIN)}),
                client.post("/api/pin/unlock", data=PIN),
            ]
        assert not any(digits in answer.get_data(as_text=True) for answer in answers for digits in (PIN, WRONG))
        assert PIN not in caplog.text
        assert WRONG not in caplog.text


class TestDoors:
    """Costs are hidden on every door of the server when the house wants that."""

    @pytest.fixture(autouse=True)
    def with_a_pin(self, services: Services) -> None:
        """One is set."""
        services.manager.set_pin(PIN)

    def test_asked(self, client: FlaskClient) -> None:
        """The status is 403, and the object is a reply that says what to do, with no card."""
        answer = ask(client, COST)
        body = answer.get_json()
        assert answer.status_code == 403
        assert {key: body[key] for key in ("say", "error", "pin", "card", "understood")} == {
            "say": NEEDED,
            "error": NEEDED,
            "pin": "needed",
            "card": None,
            "understood": True,
        }

    def test_heard(self, client: FlaskClient, services: Services) -> None:
        """The same question, spoken."""
        services.recogniser = Scripted([COST])
        file = io.BytesIO()
        soundfile.write(file, np.zeros(16_000), 16_000, format="WAV", subtype="PCM_16")
        answer = client.post("/api/hear?conversation=bar", data=file.getvalue(), content_type="audio/wav")
        assert (answer.status_code, answer.get_json()["say"]) == (403, NEEDED)

    @pytest.mark.parametrize(
        "said", ["compare the gimlet and the daiquiri", "swap the gin for aged rum in a gimlet", "riff on the daiquiri"]
    )
    def test_beside_other_things(self, client: FlaskClient, said: str) -> None:
        """What two drinks differ in is told without the money."""
        answer = ask(client, said)
        assert answer.status_code == 200
        text = answer.get_data(as_text=True)
        assert not [word for word in ("$", "USD", "dollar", "Cost to pour", "cheaper", "dearer") if word in text]

    @pytest.mark.parametrize("path", ["/office", "/office/drink?name=Gimlet", "/office/ingredient?name=gin"])
    def test_on_the_managers_pages(self, client: FlaskClient, path: str) -> None:
        """They show where to type the PIN, and nothing of the book's money."""
        answer = client.get(path)
        assert answer.status_code == 403
        assert "$" not in answer.get_data(as_text=True)
        post(client, "unlock", PIN)
        assert client.get(path).status_code == 200

    def test_every_route_of_the_office_is_kept(self, client: FlaskClient) -> None:
        """Whatever routes there are, now or later: without the PIN each says that it is needed."""
        rules = [rule for rule in client.application.url_map.iter_rules() if "/office" in rule.rule]
        opened = [
            f"{method} {path}"
            for rule in rules
            for method in sorted((rule.methods or set()) & {"GET", "POST"})
            for path in [re.sub(r"<any\((\w+)[^>]*>", r"\1", rule.rule).replace("<what>", "menu.csv")]
            if client.open(path, method=method, json={} if method == "POST" else None).status_code != 403
        ]
        assert opened == []
        assert len(rules) > 5

    def test_who_asks_is_kept(self, client: FlaskClient, services: Services) -> None:
        """The trail has the name that the device gave."""
        ask(client, "we're out of mint", who="Ana")
        assert services.memory.history("out", "mint")[0].who == "Ana"
        assert ask(client, "we're out of gin", who="ana").get_json()["who"] == "Ana"
