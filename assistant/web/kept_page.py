"""The page kept by the browser, so that it comes up while the server or the network is away.

A service worker does it, our own (`static/away.js`). It keeps the page and the program's files that the page is made
of; the last card is in the page's own storage. Browsers run one on this machine, and over https where they trust the
certificate: not on a phone whose owner only waved its warning away.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

from flask import Flask, Response

WORKER = "away.js"
OF_OTHERS = ("office", "lists", "rows", "draft", "join", WORKER)  # what the names of other pages' files begin with


def add_kept_page(app: Flask) -> None:
    """Gives the app the worker's address, beside the page: a worker keeps nothing from above its own folder."""
    folder = Path(str(app.static_folder))
    files = sorted(file for file in folder.iterdir() if not file.name.startswith(OF_OTHERS))
    paths = [f"{app.static_url_path}/{file.name}" for file in files]
    version = hashlib.sha256(b"".join(file.read_bytes() for file in files)).hexdigest()[:12]
    script = "\n".join(
        (
            f"const FILES = {json.dumps(paths)};",
            f"const VERSION = {json.dumps(version)}; // another when any file is another, so that all are kept anew",
            (folder / WORKER).read_text("utf-8"),
        )
    )

    @app.get(f"/{WORKER}")
    def kept_page() -> Response:
        return Response(script, mimetype="text/javascript", headers={"Cache-Control": "no-cache"})
