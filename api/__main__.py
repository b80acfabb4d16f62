"""The command line: serve, upgrade the database, load a catalogue, keep access keys, write the contract."""

import os
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import click

from api import __version__
from api.access.change_keys import make_logged_key, on_command_line, revoke_logged_key
from api.access.keys import SCOPES
from api.access.manage_keys import DAYS_OF_A_KEY, LONGEST_DAYS
from api.access.store import list_keys
from api.access.tell_keys import KEY_IS_SHOWN_ONCE, tell_key
from api.app import create_app, operations
from api.database import Database
from api.document import document_text
from api.errors import DomainError
from api.exchange.catalogue_faults import CatalogueRefused
from api.exchange.progress_bars import ProgressBars
from api.logs import without_secrets, write_logs
from api.preparing import load_folder, open_for, seed_if_empty, upgrade
from api.serving import (
    OpenWritesOffLoopback,
    address_of,
    ended_by_signals,
    is_loopback,
    listen,
    serve,
    serve_with_workers,
)
from api.settings import Settings, read_settings

DEFAULT_PORT: Final = 8765
MOST_WORKERS: Final = 64
_data = click.option(
    "--data",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the embedded database and its backups; made where it is missing.",
)


class Refusing(click.Group):
    """Ends a command that a rule refuses with one line on standard error and status 1."""

    def invoke(self, context: click.Context) -> Any:
        """Run the command; a refusal becomes its explanation, never a traceback."""
        try:
            return super().invoke(context)
        except CatalogueRefused as refused:
            for fault in refused.faults:
                click.echo(fault.explain(), err=True)
            click.echo(f"startwright: {_told(refused)}; nothing was loaded.", err=True)
            sys.exit(1)
        except DomainError as refused:
            click.echo(f"startwright: {without_secrets(refused.explain())}", err=True)
            sys.exit(1)


def _told(refused: CatalogueRefused) -> str:
    """Say how many faults a catalogue has, and how many of them were shown where not all."""
    count = f"{refused.total} fault{'' if refused.total == 1 else 's'}"
    beyond = refused.total - len(refused.faults)
    return f"{count}, the first {len(refused.faults)} shown" if beyond else count


@click.group(cls=Refusing)
@click.version_option(__version__, prog_name="startwright")
def main() -> None:
    """Find the wear part that fits a worn cranking starter by its measured size."""


@main.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option(
    "--port",
    default=DEFAULT_PORT,
    show_default=True,
    type=click.IntRange(0, 65535),
    help="0 takes a free one.",
)
@click.option(
    "--workers",
    default=1,
    show_default=True,
    type=click.IntRange(1, MOST_WORKERS),
    help="Processes that answer; they share limits and what is under way.",
)
@_data
def serve_command(host: str, port: int, workers: int, data: Path | None) -> None:
    """Serve; an empty database is migrated and loaded with the demo catalogue first."""
    settings = replace(_settings(data), off_loopback=not is_loopback(host))
    if settings.off_loopback and settings.open_writes:
        raise OpenWritesOffLoopback(host)
    with ended_by_signals(), listen(host, port) as listening, closing(open_for(settings)) as database:
        done = upgrade(database, settings)
        if done.backup is not None:
            click.echo(f"Upgraded from migration {done.found}; the copy before it is {done.backup}")
        seed_if_empty(database)
        if settings.off_loopback:
            readers = "reading is open to all" if settings.open_reading else "every request needs a key"
            click.echo(
                f"startwright: this address can be reached from other machines, and {readers}; "
                "STARTWRIGHT_ALLOWED_HOSTS has to name how they call it.",
                err=True,
            )
        address = address_of(listening, host)
        if workers == 1:
            serve(create_app(settings, database), listening, lambda: click.echo(f"Open {address}"))
        else:
            serve_with_workers(settings, workers, listening, lambda: click.echo(f"Open {address}"))


@main.command("upgrade-db")
@_data
@click.option("--without-backup", is_flag=True, help="Do not copy an older database first.")
def upgrade_command(data: Path | None, without_backup: bool) -> None:
    """Migrate the database to this release; an older one is copied first."""
    settings = _settings(data)
    with closing(open_for(settings)) as database:
        done = upgrade(database, settings, with_backup=not without_backup)
    click.echo(f"The database stands at migration {done.reached} (found: {done.found or 'empty'}).")
    if done.backup is not None:
        click.echo(f"The copy before it is {done.backup}")


@main.command("load-catalogue")
@click.argument("folder", type=click.Path(exists=True, file_okay=False, path_type=Path))
@_data
def load_command(folder: Path, data: Path | None) -> None:
    """Add a catalogue folder: what is missing is added, what is there stays as it is."""
    with _upgraded(data) as database, ProgressBars() as bars:
        report = load_folder(database, folder, watch=bars)
    if report is None:
        return
    for noun, added in report.added.items():
        differing = report.differing.get(noun, ())
        told = f", of those kept {len(differing)} differ" if differing else ""
        click.echo(f"{noun}: {added} added, {report.kept[noun]} kept{told}")
        for key in differing:
            click.echo(f"  kept as it is in the database: {key}")


@main.command("make-key")
@click.option("--holder", required=True, help="Who will use it; at most two of his keys are in use at once.")
@click.option(
    "--scope", "scopes", multiple=True, required=True, type=click.Choice(SCOPES), help="What for; repeatable."
)
@click.option(
    "--days",
    default=DAYS_OF_A_KEY,
    show_default=True,
    type=click.IntRange(1, LONGEST_DAYS),
    help="How long it lives.",
)
@_data
def make_key_command(holder: str, scopes: tuple[str, ...], days: int, data: Path | None) -> None:
    """Make an access key and print it, once: it cannot be shown again."""
    now = datetime.now(UTC)
    with _upgraded(data) as database, database.write() as writes:
        held = tuple(dict.fromkeys(scopes))
        new, kept = make_logged_key(writes, on_command_line(), holder, held, days, now)
    click.echo(new.text)
    click.echo(f"{tell_key(kept, now)}\n{KEY_IS_SHOWN_ONCE}", err=True)


@main.command("list-keys")
@_data
def list_keys_command(data: Path | None) -> None:
    """List the access keys; of each only the part that may be shown."""
    with _upgraded(data) as database, database.read() as reads:
        keys = list_keys(reads)
    now = datetime.now(UTC)
    for key in keys:
        click.echo(tell_key(key, now))


@main.command("revoke-key")
@click.argument("key_id", metavar="ID")
@_data
def revoke_key_command(key_id: str, data: Path | None) -> None:
    """Revoke the access key with this ID (or shown part) from now on."""
    now = datetime.now(UTC)
    with _upgraded(data) as database, database.write() as writes:
        key = revoke_logged_key(writes, on_command_line(), key_id, now)
    click.echo(tell_key(key, now))


@main.command("write-openapi")
@click.argument("file", type=click.Path(dir_okay=False, allow_dash=True, path_type=Path), required=False)
def write_openapi_command(file: Path | None) -> None:
    """Write the contract to FILE (openapi/openapi.json in a checkout; - for standard output)."""
    target = file or Path("openapi") / "openapi.json"
    if str(target) == "-":
        click.echo(document_text(operations()), nl=False)
        return
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(document_text(operations()), "utf-8")
    except OSError as error:
        raise click.FileError(str(target), error.strerror or type(error).__name__) from None
    click.echo(f"Wrote {target}")


@contextmanager
def _upgraded(data: Path | None) -> Iterator[Database]:
    """Open the database of the settings, migrated to this release."""
    settings = _settings(data)
    with closing(open_for(settings)) as database:
        upgrade(database, settings)
        yield database


def _settings(data: Path | None) -> Settings:
    settings = read_settings(os.environ, data)
    write_logs(settings.log_level)
    return settings


if __name__ == "__main__":
    main(prog_name="startwright")
