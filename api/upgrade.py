"""Bring a database to the newest migration: locked, backed up first, never a newer one.

Several servers may start at once: the lock lets one of them migrate, the others find it done.
"""

import os
import shutil
import subprocess
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import attrs
from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Connection

from api.database import Database, sqlite_driver
from api.errors import CommandRefused
from api.travelling import travelling

BACKUP_FOLDER = "backups"


@attrs.frozen
class DatabaseIsNewer(CommandRefused):
    """The database was written by a newer release than this one."""

    found: str

    def explain(self) -> str:
        """Say which migration was found and what to do."""
        return (
            f"The database stands at migration {self.found!r}, "
            "which this release does not know; use a newer one."
        )


@attrs.frozen
class BackupImpossible(CommandRefused):
    """An older database would be changed, and no copy of it could be made first."""

    reason: str

    def explain(self) -> str:
        """Say why, and how to go on all the same."""
        return (
            f"The database has to be upgraded and could not be backed up first: {self.reason}. "
            "Back it up yourself, then run `startwright upgrade-db --without-backup`."
        )


@dataclass(frozen=True, slots=True)
class Upgrade:
    """What an upgrade did: the migration found (none if empty), the one reached, the copy made."""

    found: str | None
    reached: str
    backup: Path | None


def migration_config(connection: Connection | None = None) -> Config:
    """Return Alembic's configuration for the migrations that travel with this package."""
    config = Config()
    config.set_main_option("script_location", str(travelling("migrations")).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def newest_migration() -> str:
    """Return the newest migration that this release knows."""
    head = ScriptDirectory.from_config(migration_config()).get_current_head()
    if head is None:
        raise FileNotFoundError("the migrations folder holds no migration")
    return head


def current_migration(connection: Connection) -> str | None:
    """Return the migration at which a database stands, or nothing if it is empty."""
    return MigrationContext.configure(connection).get_current_revision()


def upgrade_database(
    database: Database, backups: Path, *, with_backup: bool = True, target: str = "head"
) -> Upgrade:
    """Migrate `database` to `target`, after copying an older one into `backups`.

    Raises `DatabaseIsNewer` when the database stands at an unknown migration, `BackupImpossible` when
    an older one cannot be copied; nothing is changed then.
    """
    script = ScriptDirectory.from_config(migration_config())
    known = {migration.revision for migration in script.walk_revisions()}
    wanted = newest_migration() if target == "head" else target
    with database.migrate() as connection:
        found = current_migration(connection)
        if found == wanted:
            return Upgrade(found, wanted, None)
        if found is not None and found not in known:
            raise DatabaseIsNewer(found)
        copy = back_up(database, backups, found) if found is not None and with_backup else None
        command.upgrade(migration_config(connection), target)
        return Upgrade(found, wanted, copy)


def back_up(database: Database, folder: Path, label: str) -> Path:
    """Copy the committed state of a database into a new file of `folder`; return its path.

    Raises `BackupImpossible` when no copy can be made (PostgreSQL without `pg_dump`, no space).
    """
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%fZ")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BackupImpossible(error.strerror or type(error).__name__) from error
    write, ending = (_copy_embedded, "sqlite3") if database.is_embedded else (_dump_postgresql, "dump")
    target = folder / f"before-upgrade-from-{label}-{stamp}.{ending}"
    try:
        write(database, target)
    except (BackupImpossible, OSError) as error:
        target.unlink(missing_ok=True)  # half a copy would pass for a whole one
        if isinstance(error, BackupImpossible):
            raise
        raise BackupImpossible(error.strerror or type(error).__name__) from error
    return target


def _copy_embedded(database: Database, target: Path) -> None:
    driver = sqlite_driver()
    try:
        with (
            closing(driver.connect(database.engine.url.database)) as source,
            closing(driver.connect(str(target))) as copy,
        ):
            source.backup(copy)
    except driver.Error as error:
        raise BackupImpossible(str(error)) from error


def _dump_postgresql(database: Database, target: Path) -> None:
    program = shutil.which("pg_dump")
    if program is None:
        raise BackupImpossible("pg_dump is not on this machine's path")
    url = database.engine.url
    settings = {"PGPASSWORD": url.password} if url.password else {}
    without_password = URL.create(
        "postgresql", url.username, None, url.host, url.port, url.database, url.query
    )
    plain = without_password.render_as_string()
    run = subprocess.run(  # noqa: S603  # our own arguments; the address comes from the operator's settings
        [program, "--format=custom", f"--file={target}", f"--dbname={plain}"],
        env={**os.environ, **settings},
        capture_output=True,
        text=True,
        check=False,
    )
    if run.returncode != 0:
        complaint = run.stderr.strip().splitlines() or ["pg_dump failed"]
        raise BackupImpossible(complaint[-1])
