"""Fetching a speech model: whole and unspoiled, or not at all; from a server of our own, with no internet."""

from __future__ import annotations

import hashlib
import io
import threading
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from assistant.ears import models
from assistant.ears.errors import FetchFailed
from assistant.ears.models import Model, fetch, fetch_model, known, listed

FOLDER = "vosk-model-small-xx-0.1"


def archive(*names: str) -> bytes:
    """A zip of small files."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        for name in names:
            packed.writestr(name, name * 500)
    return made.getvalue()


GOOD = archive(f"{FOLDER}/am/final.mdl", f"{FOLDER}/graph/Gr.fst")


@dataclass
class Shop:
    """A server with one file, which may break off."""

    body: bytes = GOOD
    breaks_off_after: int | None = None
    knows_ranges: bool = True
    asked: list[str] = field(default_factory=list)  # the ranges asked for

    def model(self, port: int, sha256: str | None = None) -> Model:
        """The model that it sells."""
        url = f"http://127.0.0.1:{port}/model.zip"
        return Model("test", FOLDER, "Test", url, 1, sha256 or hashlib.sha256(self.body).hexdigest(), 1, "none", (1, 1))


@pytest.fixture
def shop() -> Shop:
    """What the server has."""
    return Shop()


@pytest.fixture
def port(shop: Shop) -> Iterator[int]:
    """Where the server is."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked = self.headers.get("Range", "")
            shop.asked.append(asked)
            start = int(asked.removeprefix("bytes=").rstrip("-")) if asked and shop.knows_ranges else 0
            rest = shop.body[start:]
            self.send_response(416 if not rest else 206 if start else 200)
            self.send_header("Content-Length", str(len(rest)))
            self.end_headers()
            self.wfile.write(rest[: shop.breaks_off_after])

        def log_message(self, *_: object) -> None:
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield server.server_port
        server.shutdown()
        thread.join()


def test_a_model_is_fetched_checked_and_unpacked(shop: Shop, port: int, tmp_path: Path) -> None:
    """What comes is in its place, with nothing else left, and the progress ends at the whole."""
    told: list[tuple[int, int]] = []
    place = fetch_model(shop.model(port), tmp_path, lambda done, total: told.append((done, total)))
    assert (place / "graph" / "Gr.fst").is_file()
    assert list(tmp_path.iterdir()) == [place]
    assert told[-1] == (len(GOOD), len(GOOD))


def test_what_is_here_is_not_fetched_again(shop: Shop, port: int, tmp_path: Path) -> None:
    """The second time nothing is asked of the network."""
    fetch_model(shop.model(port), tmp_path)
    fetch_model(shop.model(port), tmp_path)
    assert len(shop.asked) == 1


@pytest.mark.parametrize("knows_ranges", [True, False], ids=["a server with ranges", "a server without"])
def test_a_download_that_broke_off_goes_on_where_it_ended(
    shop: Shop, port: int, tmp_path: Path, knows_ranges: bool
) -> None:
    """What came is kept; a server that cannot go on from there sends the whole again, and that is right too."""
    shop.breaks_off_after, shop.knows_ranges = 300, knows_ranges
    with pytest.raises(FetchFailed, match="broke"):
        fetch_model(shop.model(port), tmp_path)
    shop.breaks_off_after = None
    assert fetch_model(shop.model(port), tmp_path).is_dir()
    assert shop.asked == ["", "bytes=300-"]


def test_an_archive_that_came_whole_but_was_not_unpacked_is_not_fetched_again(
    shop: Shop, port: int, tmp_path: Path
) -> None:
    """As when the machine was switched off between the two."""
    (tmp_path / f"{FOLDER}.zip.part").write_bytes(GOOD)
    assert fetch_model(shop.model(port), tmp_path).is_dir()


def test_a_spoiled_download_is_refused_and_thrown_away(shop: Shop, port: int, tmp_path: Path) -> None:
    """A file with another checksum is not what was asked for."""
    with pytest.raises(FetchFailed, match="checksum"):
        fetch_model(shop.model(port, sha256="0" * 64), tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "body",
    [b"no zip at all", archive("elsewhere/final.mdl"), archive(f"{FOLDER}/../../out.txt"), archive("/etc/evil")],
    ids=["no zip", "another folder", "a way out", "from the root"],
)
def test_an_archive_that_is_not_the_model_is_refused(shop: Shop, port: int, tmp_path: Path, body: bytes) -> None:
    """Nothing is written outside the model's folder, even if the checksum was right."""
    shop.body = body
    with pytest.raises(FetchFailed, match="not what it should be"):
        fetch_model(shop.model(port), tmp_path / "models")
    assert not (tmp_path / "models" / FOLDER).exists()
    assert not (tmp_path / "out.txt").exists()


def test_without_a_network_it_says_so_and_what_to_do(tmp_path: Path) -> None:
    """A port where nobody listens is as good as no network."""
    with pytest.raises(FetchFailed, match="no network") as failed:
        fetch_model(Shop().model(1), tmp_path)
    assert "by hand" in failed.value.mend


def test_an_unknown_name_is_told_with_those_that_are_known() -> None:
    """A slip in the name costs no search."""
    with pytest.raises(FetchFailed, match="small, large"):
        fetch("smal")


def test_the_list_tells_which_models_are_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A model that somebody put there by hand counts."""
    monkeypatch.setattr(models, "model_folders", lambda: (tmp_path,))
    place = tmp_path / known()[0].folder
    place.mkdir()
    assert [row.path for row in listed()] == [place, None]


def test_every_known_model_has_a_checksum_and_comes_over_https() -> None:
    """Nothing is fetched unchecked."""
    assert all(len(model.sha256) == 64 and model.url.startswith("https://") for model in known())
    assert all(Path(model.url).stem == model.folder for model in known())
