"""Make a database ready to serve: opened, migrated, and loaded with the seed catalogue when empty."""

from datetime import UTC, datetime
from pathlib import Path

import attrs
from sqlalchemy.exc import DatabaseError

from api.database import Database, open_database
from api.errors import CommandRefused
from api.exchange.load_catalogue import LoadReport, is_empty, load_catalogue
from api.exchange.read_catalogue import read_catalogue
from api.exchange.watch import UNWATCHED, Watch
from api.settings import Settings
from api.travelling import travelling
from api.upgrade import BACKUP_FOLDER, Upgrade, upgrade_database


@attrs.frozen
class FolderNotUsable(CommandRefused):
    """The data folder cannot be made, read or written."""

    folder: str
    reason: str

    def explain(self) -> str:
        """Name the folder, what went wrong, and how another is chosen."""
        return f"The data folder {self.folder!r} cannot be used ({self.reason}); choose another with --data."


@attrs.frozen
class DatabaseNotUsable(CommandRefused):
    """The database was reached, but it cannot be worked with."""

    reason: str

    def explain(self) -> str:
        """Say what the database answered."""
        return f"The database cannot be used: {self.reason}."


def open_for(settings: Settings) -> Database:
    """Open the database that the settings name, and see that it answers.

    Raises `FolderNotUsable`, `DatabaseNotUsable` and `DatabaseUnavailable`.
    """
    try:
        if settings.database_url is None:
            _check_folder(settings.data)
        database = open_database(settings.database_url, settings.database_file)
    except OSError as error:
        raise FolderNotUsable(str(settings.data), error.strerror or type(error).__name__) from error
    try:
        with database.read():
            return database
    except DatabaseError as error:
        database.close()
        place = "" if settings.database_url else f"{settings.database_file}: "
        raise DatabaseNotUsable(place + " ".join(str(error.orig).split())) from error


def _check_folder(folder: Path) -> None:
    """Make the folder where it is missing, and prove that files can be made in it."""
    folder.mkdir(parents=True, exist_ok=True)
    probe = folder / f".startwright-{datetime.now(UTC).strftime('%H%M%S%f')}"
    probe.touch()
    probe.unlink()


def upgrade(database: Database, settings: Settings, *, with_backup: bool = True) -> Upgrade:
    """Migrate the database; backups go into the data folder. Raises as `upgrade_database` does."""
    return upgrade_database(database, settings.data / BACKUP_FOLDER, with_backup=with_backup)


def seed_if_empty(database: Database) -> LoadReport | None:
    """Load the seed catalogue into a database that never held one; of several servers one does it."""
    with database.read() as reads:
        if not is_empty(reads.connection):
            return None
    return load_folder(database, travelling("seed_catalog"), only_if_empty=True)


def load_folder(
    database: Database, folder: Path, *, only_if_empty: bool = False, watch: Watch = UNWATCHED
) -> LoadReport | None:
    """Load a catalogue folder in one transaction, alone; returns nothing if `only_if_empty` and it is not.

    Raises `CatalogueRefused` with every fault of the files; nothing is changed then.
    """
    catalogue = read_catalogue(folder, watch)
    with database.write() as writes:
        writes.wait_to_be_alone()
        if only_if_empty and not is_empty(writes.connection):
            return None
        return load_catalogue(writes.connection, catalogue, datetime.now(UTC).date(), watch)
