"""Speech models: which there are, which are here, and fetching one, whole and unspoiled or not at all."""

from __future__ import annotations

import hashlib
import shutil
import tempfile
import tomllib
import urllib.error
import urllib.request
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from http.client import HTTPException, HTTPResponse
from pathlib import Path

from assistant.ears.choose import model_folders, own_models
from assistant.ears.errors import FetchFailed

TABLE = Path(__file__).with_name("known_models.toml")
PIECE = 1 << 18  # bytes read at a time
TIMEOUT_S = 30  # without a byte
PARTIAL = 206  # HTTP: the rest of a file, as it was asked for
NOTHING_LEFT = 416  # HTTP: the part asked for begins at the end

Progress = Callable[[int, int], None]  # bytes so far, bytes in all (0: not told)


@dataclass(frozen=True)
class Model:
    """A speech model that can be fetched."""

    name: str  # what `models fetch` calls it
    folder: str  # what it unpacks to
    title: str
    url: str
    megabytes: int  # of the archive
    sha256: str  # of the archive
    agreed_by: int  # independent projects that pin that checksum
    licence: str
    errors: tuple[float, float]  # % of words, by the vendor: LibriSpeech test-clean, TED-LIUM


@dataclass(frozen=True)
class Listed:
    """A known model, and where it is, if it is here."""

    model: Model
    path: Path | None


@cache
def known() -> tuple[Model, ...]:
    """The models that can be fetched by name."""
    rows = tomllib.loads(TABLE.read_text(encoding="utf-8"))["model"]
    return tuple(Model(**{**row, "errors": tuple(row["errors"])}) for row in rows)


def listed() -> tuple[Listed, ...]:
    """Every known model, and where it is."""
    return tuple(Listed(model, _where(model)) for model in known())


def _where(model: Model) -> Path | None:
    places = (folder / model.folder for folder in model_folders())
    return next((place for place in places if place.is_dir()), None)


def fetch(name: str, folder: Path | None = None, progress: Progress = lambda done, total: None) -> Path:
    """Fetch the model of this name; gives its folder. Raises FetchFailed."""
    model = next((model for model in known() if model.name == name), None)
    if model is None:
        names = ", ".join(model.name for model in known())
        raise FetchFailed(name, "no such model is known", f"the known ones are {names}")
    return fetch_model(model, folder or own_models(), progress)


def fetch_model(model: Model, folder: Path, progress: Progress = lambda done, total: None) -> Path:
    """Fetch a model into `folder`, going on where an earlier try ended; what is there already is not fetched again.

    It appears in its place only when its checksum was right and it was unpacked whole. Raises FetchFailed.
    """
    place = folder / model.folder
    if place.is_dir():
        return place
    try:
        folder.mkdir(parents=True, exist_ok=True)
        archive = folder / f"{model.folder}.zip.part"
        _download(model, archive, progress)
        _check(model, archive)
        _unpack(model, archive, place)
        archive.unlink()
    except OSError as error:
        raise FetchFailed(model.name, f"{folder} cannot be written: {error}", "free some space there") from error
    return place


def _download(model: Model, archive: Path, progress: Progress) -> None:
    have = archive.stat().st_size if archive.exists() else 0
    request = urllib.request.Request(model.url, headers={"Range": f"bytes={have}-"} if have else {})
    try:
        with urllib.request.urlopen(request, timeout=TIMEOUT_S) as response:
            _receive(model, response, archive, have if response.status == PARTIAL else 0, progress)
    except urllib.error.HTTPError as error:
        if error.code != NOTHING_LEFT:
            raise FetchFailed(model.name, f"{model.url} answers {error.code}", "try again later") from error
    except (urllib.error.URLError, HTTPException, TimeoutError, ConnectionError) as error:
        mend = f"join a network and run it again, or unpack {model.url} into {archive.parent} by hand"
        raise FetchFailed(model.name, "no network, or it broke off; what came is kept", mend) from error


def _receive(model: Model, response: HTTPResponse, archive: Path, have: int, progress: Progress) -> None:
    expected = int(response.headers.get("Content-Length") or 0)
    total = have + expected if expected else 0
    with archive.open("ab" if have else "wb") as file:
        while piece := response.read(PIECE):
            file.write(piece)
            have += len(piece)
            progress(have, total)
    if have < total:
        raise FetchFailed(model.name, "the download broke off; what came is kept", "run it again to go on")


def _check(model: Model, archive: Path) -> None:
    with archive.open("rb") as file:
        found = hashlib.file_digest(file, "sha256").hexdigest()
    if found != model.sha256:
        archive.unlink()
        raise FetchFailed(model.name, f"its checksum is {found}, not {model.sha256}", "run it again to fetch it anew")


def _unpack(model: Model, archive: Path, place: Path) -> None:
    """Unpack beside the place, then move there in one step. Entries outside the model's folder are refused."""
    spoiled = FetchFailed(model.name, "its archive is not what it should be", "tell the people who maintain this list")
    with tempfile.TemporaryDirectory(dir=place.parent) as beside:
        try:
            with zipfile.ZipFile(archive) as packed:
                if any(not _is_inside(name, model.folder) for name in packed.namelist()):
                    raise spoiled
                packed.extractall(beside)
        except zipfile.BadZipFile as error:
            raise spoiled from error
        shutil.move(Path(beside) / model.folder, place)


def _is_inside(name: str, folder: str) -> bool:
    parts = Path(name).parts
    return bool(parts) and parts[0] == folder and ".." not in parts
