"""The command of devices that have joined: which they are, and one of them turned out, also while the server runs."""

from __future__ import annotations

from pathlib import Path

import click

from assistant.web.devices import Devices


def devices_file() -> Path:
    """Where those that have joined are kept."""
    return Path(click.get_app_dir("prep-assistant")) / "lan" / "devices.json"


@click.command("devices")
@click.option("--forget", metavar="NAME", help="Turn this one out: it must give the code again, and no other.")
def list_devices(forget: str | None) -> None:
    """List the devices that have joined, the latest first, each with a name to turn it out by."""
    joined = Devices(devices_file())
    if forget is not None:
        if not joined.forget(forget):
            raise click.ClickException(f"No device is called {forget}. Without --forget they are listed.")
        click.echo(f"{forget} is turned out, from its next question on. The others stay.")
        return
    for device in joined.all():
        click.echo(f"{device.name}  joined {device.joined_at:%Y-%m-%d %H:%M} UTC from {device.address or 'unknown'}")
    click.echo('"prep-assistant devices --forget NAME" turns one out.' if len(joined) else "No device has joined.")
