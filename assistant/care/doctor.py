"""The doctor: what service rests on, looked at one by one, and for each that is not well what to do about it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path

from assistant.care import machine_checks, store_checks
from assistant.care.findings import Check


@dataclass(frozen=True)
class Patient:
    """What is looked at."""

    book: Path | None  # None: the book that ships
    database: str
    port: int
    certificates: Path


def checks(patient: Patient) -> tuple[Check, ...]:
    """All checks, each to be called for what it finds."""
    return (
        partial(store_checks.of_book, patient.book),
        partial(store_checks.of_database, patient.database),
        partial(store_checks.of_backups, patient.database),
        partial(store_checks.of_disk, patient.database),
        partial(machine_checks.of_port, patient.port),
        machine_checks.of_recogniser,
        machine_checks.of_microphone,
        machine_checks.of_voice,
        partial(machine_checks.of_certificate, patient.certificates),
    )
