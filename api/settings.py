"""Settings: frozen values read from the environment once; nothing is built here."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import attrs

from api.errors import CommandRefused


@dataclass(frozen=True, slots=True)
class SettingDoc:
    """One environment variable: its name, its default as text, and what it does."""

    name: str
    default: str
    meaning: str


SETTINGS: Final = (
    SettingDoc(
        "STARTWRIGHT_DATABASE_URL",
        "the embedded database in the data folder",
        "a postgresql:// address chooses PostgreSQL instead",
    ),
    SettingDoc(
        "STARTWRIGHT_DATA",
        "startwright-data",
        "the data folder when --data is not given: the embedded database and its backups",
    ),
    SettingDoc(
        "STARTWRIGHT_ALLOWED_HOSTS",
        "localhost,127.0.0.1,::1",
        "names by which the service may be addressed, comma separated; other Host headers are refused",
    ),
    SettingDoc("STARTWRIGHT_BODY_LIMIT", "2000000", "the largest request body taken, in bytes"),
    SettingDoc("STARTWRIGHT_LOG_LEVEL", "info", "debug, info, warning or error"),
)

_LOG_LEVELS: Final = ("debug", "info", "warning", "error")
DATABASE_FILE: Final = "startwright.sqlite3"


@attrs.frozen
class BadSetting(CommandRefused):
    """A setting holds what cannot be used."""

    name: str
    value: str
    expected: str

    def explain(self) -> str:
        """Name the variable, its value and what was expected."""
        return f"{self.name} is {self.value!r}; expected {self.expected}."


@dataclass(frozen=True, slots=True)
class Settings:
    """Everything the service is told from outside."""

    data: Path = Path("startwright-data")
    database_url: str | None = None
    allowed_hosts: tuple[str, ...] = ("localhost", "127.0.0.1", "::1")
    body_limit: int = 2_000_000
    log_level: str = "info"

    @property
    def database_file(self) -> Path:
        """The embedded database's file."""
        return self.data / DATABASE_FILE


def read_settings(environment: Mapping[str, str], data: Path | None = None) -> Settings:
    """Read the settings; `data` given on the command line wins over the environment.

    Raises `BadSetting` naming the variable, its value and what was expected.
    """
    plain = Settings()
    url = environment.get("STARTWRIGHT_DATABASE_URL") or None
    if url is not None and not url.startswith(("postgresql://", "postgresql+psycopg://")):
        raise BadSetting(
            "STARTWRIGHT_DATABASE_URL", url.split("@")[-1], "an address that starts postgresql://"
        )
    limit = environment.get("STARTWRIGHT_BODY_LIMIT", str(plain.body_limit))
    if not (limit.isascii() and limit.isdigit() and len(limit) <= 10 and int(limit) >= 1_000):
        raise BadSetting("STARTWRIGHT_BODY_LIMIT", limit, "a whole number of bytes, 1000 or more")
    level = environment.get("STARTWRIGHT_LOG_LEVEL", plain.log_level)
    if level not in _LOG_LEVELS:
        raise BadSetting("STARTWRIGHT_LOG_LEVEL", level, ", ".join(_LOG_LEVELS))
    hosts = environment.get("STARTWRIGHT_ALLOWED_HOSTS")
    names = tuple(name.strip() for name in hosts.split(",") if name.strip()) if hosts else plain.allowed_hosts
    return Settings(
        data=data or Path(environment.get("STARTWRIGHT_DATA") or plain.data),
        database_url=url,
        allowed_hosts=names,
        body_limit=int(limit),
        log_level=level,
    )
