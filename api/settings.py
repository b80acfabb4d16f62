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
        "the data folder when --data is not given: the database, its backups, and index/ (made anew)",
    ),
    SettingDoc(
        "STARTWRIGHT_ALLOWED_HOSTS",
        "localhost,127.0.0.1,::1",
        "names by which the service may be addressed, comma separated; other Host headers are refused",
    ),
    SettingDoc("STARTWRIGHT_BODY_LIMIT", "2000000", "the largest request body taken, in bytes"),
    SettingDoc("STARTWRIGHT_LOG_LEVEL", "info", "debug, info, warning or error"),
    SettingDoc("STARTWRIGHT_OPEN_READING", "yes", "yes or no: whether reading needs no access key"),
    SettingDoc(
        "STARTWRIGHT_OPEN_WRITES",
        "no",
        "yes or no: whether the catalogue and prices may be changed without a key; refused off loopback",
    ),
    SettingDoc(
        "STARTWRIGHT_ADDRESS_QUOTA",
        "1200, on loopback 1000000",
        "requests a minute from one address without a key",
    ),
    SettingDoc("STARTWRIGHT_KEY_QUOTA", "6000, on loopback 1000000", "requests a minute with one access key"),
)

_LOG_LEVELS: Final = ("debug", "info", "warning", "error")
DATABASE_FILE: Final = "startwright.sqlite3"
OFF_LOOPBACK_QUOTAS: Final = (1_200, 6_000, 30)
LOOPBACK_QUOTAS: Final = (1_000_000, 1_000_000, 1_000_000)
"""Behind a proxy on the same machine all addresses are one; else nobody reaches it (our judgement)."""


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
    open_reading: bool = True
    open_writes: bool = False
    address_quota: int | None = None
    key_quota: int | None = None
    off_loopback: bool = False

    @property
    def quotas(self) -> tuple[int, int, int]:
        """A minute's requests from an address without a key, with one key, and with wrong keys."""
        usual = OFF_LOOPBACK_QUOTAS if self.off_loopback else LOOPBACK_QUOTAS
        return self.address_quota or usual[0], self.key_quota or usual[1], usual[2]

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
    quotas = [_quota(environment, name) for name in ("STARTWRIGHT_ADDRESS_QUOTA", "STARTWRIGHT_KEY_QUOTA")]
    return Settings(
        data=data or Path(environment.get("STARTWRIGHT_DATA") or plain.data),
        database_url=url,
        allowed_hosts=names,
        body_limit=int(limit),
        log_level=level,
        open_reading=_yes_or_no(environment, "STARTWRIGHT_OPEN_READING", "yes"),
        open_writes=_yes_or_no(environment, "STARTWRIGHT_OPEN_WRITES", "no"),
        address_quota=quotas[0],
        key_quota=quotas[1],
    )


def _yes_or_no(environment: Mapping[str, str], name: str, default: str) -> bool:
    written = environment.get(name) or default
    if written not in ("yes", "no"):
        raise BadSetting(name, written, "yes or no")
    return written == "yes"


def _quota(environment: Mapping[str, str], name: str) -> int | None:
    written = environment.get(name)
    if not written:
        return None
    if not (written.isascii() and written.isdigit() and len(written) <= 9 and int(written) >= 1):
        raise BadSetting(name, written, "a whole number of requests a minute, from 1 to 999999999")
    return int(written)
