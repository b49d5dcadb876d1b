"""Keeps the page to itself: which hosts and origins are answered, and what a browser may do with an answer."""

from __future__ import annotations

from flask import Flask, Response, abort, request

READING = frozenset({"GET", "HEAD", "OPTIONS"})
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "worker-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "microphone=(self), screen-wake-lock=(self), camera=(), geolocation=()",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


def guard(app: Flask) -> None:
    """Has the app refuse other pages' questions and send its headers with every answer."""
    app.before_request(_only_from_this_page)
    app.after_request(_with_headers)


def _only_from_this_page() -> None:
    """A page of another origin may not ask: its browser names the origin, and says that it is another's."""
    if request.method in READING:
        return
    origin = request.headers.get("Origin")
    if origin and origin != request.host_url.rstrip("/"):
        abort(403)
    if request.headers.get("Sec-Fetch-Site", "none") not in ("none", "same-origin"):
        abort(403)


def _with_headers(response: Response) -> Response:
    response.headers.update(HEADERS)
    if request.path.startswith("/api/"):
        response.headers["Cache-Control"] = "no-store"
    return response
