"""How a person types to the page and reads what it says."""

from __future__ import annotations

import re

from playwright.sync_api import Page, expect


def ask(page: Page, text: str) -> str:
    """Type a question; what is said to it."""
    page.fill("#words", text)
    with page.expect_response(re.compile("/api/ask")) as answered:
        page.press("#words", "Enter")
    said = str(answered.value.json()["say"])
    expect(page.locator("#say")).to_have_text(said)
    return said
