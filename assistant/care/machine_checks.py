"""The doctor's checks of the machine: its port, ear, microphone, voice, and the certificate for phones."""

from __future__ import annotations

import socket
import urllib.request
from contextlib import suppress
from datetime import UTC, datetime
from http.client import HTTPException
from importlib.util import find_spec
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509

from assistant.care.findings import Found, State
from assistant.ears.choose import english_model
from assistant.ears.errors import NoMicrophone
from assistant.ears.microphone import default_microphone
from assistant.voice import SPEAKERS, speaker
from assistant.web.lan import NoNetwork, lan_address

HERE = "127.0.0.1"
PATIENCE_S = 3.0  # for an answer of whoever has the port


def of_port(port: int) -> Found:
    """Whether the server can have its port, or has it already."""
    with socket.socket() as trying:
        trying.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trying.bind((HERE, port))
        except OSError:
            return _who_is_at(port)
    return Found("port", State.WELL, f"{port} is free")


def _who_is_at(port: int) -> Found:
    address = f"http://{HERE}:{port}/api/health"
    with suppress(OSError, HTTPException), urllib.request.urlopen(address, timeout=PATIENCE_S) as answer:
        if b'"ready"' in answer.read(10_000):
            return Found("port", State.WELL, f"{port} is taken by this program's server, which answers")
    todo = "Stop that one, or give another port: prep-assistant serve --port N"
    return Found("port", State.STOPS, f"{port} is taken by another program", todo)


def of_recogniser() -> Found:
    """Whether there is a recogniser with an English model."""
    model = english_model()
    if model is not None and model.is_dir():
        return Found("ear", State.WELL, f"Vosk, with the model {model.name}")
    if model is not None:
        return Found(
            "ear", State.STOPS, f"there is no model at {model}", "Mend PREP_ASSISTANT_VOSK_MODEL, or unset it."
        )
    if _has_pocketsphinx_model():
        return Found("ear", State.WELL, "PocketSphinx; it hears better with: prep-assistant models fetch small")
    return Found("ear", State.STOPS, "there is no recogniser with an English model", "Install prep-assistant anew.")


def _has_pocketsphinx_model() -> bool:
    if find_spec("pocketsphinx") is None:
        return False
    import pocketsphinx

    return Path(pocketsphinx.get_model_path("en-us"), "en-us").is_dir()


def of_microphone() -> Found:
    """This machine's own microphone, which `listen` uses; the page uses that of the phone."""
    try:
        return Found("microphone", State.WELL, default_microphone())
    except NoMicrophone as error:
        return Found(
            "microphone",
            State.NOTE,
            error.problem,
            f'For "listen": {error.mend}. The page uses the microphone of the device that shows it.',
        )


def of_voice() -> Found:
    """Whether `listen` can speak; the page speaks with the voice of the phone."""
    found = speaker()
    if found is None:
        return Found("voice", State.NOTE, "this machine has none", f'For "listen" install {SPEAKERS[0].program}.')
    return Found("voice", State.WELL, found.program)


def of_certificate(folder: Path) -> Found:
    """The certificate for phones: whether it is there, in time, and for the address this machine has now."""
    try:
        address = lan_address()
    except NoNetwork:
        return Found("network", State.NOTE, "this machine is on none", "For phones, join one; then serve --lan.")
    try:
        kept = x509.load_pem_x509_certificate((folder / "certificate.pem").read_bytes())
    except (OSError, ValueError):
        return Found("certificate", State.NOTE, "there is none yet", '"serve --lan" makes it, for phones.')
    names = kept.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    anew = '"serve --lan" makes a new one; each phone then asks once whether to trust it.'
    if kept.not_valid_after_utc < datetime.now(UTC):
        return Found("certificate", State.NOTE, f"it ran out on {kept.not_valid_after_utc:%Y-%m-%d}", anew)
    if ip_address(address) not in names.get_values_for_type(x509.IPAddress):
        return Found("certificate", State.NOTE, f"it is for another address than {address}", anew)
    return Found("certificate", State.WELL, f"for {address}, until {kept.not_valid_after_utc:%Y-%m-%d}")
