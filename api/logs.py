"""What the service writes while it runs: one JSON object a line on standard error, never a secret."""

import logging
import re
import sys
from collections.abc import Mapping, MutableMapping
from typing import Any, Final

import structlog

_LEVELS: Final[Mapping[str, int]] = {
    "debug": logging.DEBUG,
    "info": logging.INFO,
    "warning": logging.WARNING,
    "error": logging.ERROR,
}
_QUIET: Final = ("alembic", "httpx", "httpcore", "uvicorn.access", "asyncio", "sqlalchemy")
"""Libraries of which only warnings are worth a line."""

HIDDEN: Final = "***"
_SECRET_NAMES: Final = re.compile(r"password|passwd|secret|token|authorization|cookie|api_key", re.IGNORECASE)
_IN_ADDRESS: Final = re.compile(r"(\w://[^\s:/@]*):[^\s@]+@")
_IN_SETTINGS: Final = re.compile(r"\b(password|passwd|sslpassword)(\s*=\s*)('[^']*'|[^\s&]+)", re.IGNORECASE)

_ACCESS_KEY: Final = re.compile(r"(startwright_[a-z0-9]{7,9})_[\w%~-]+")
"""A key, whole or cut short, and one with a typing mistake, which gives away nearly as much."""


def without_secrets(text: str) -> str:
    """Return a text with passwords of addresses and settings, and the secret part of keys, struck out."""
    text = _ACCESS_KEY.sub(rf"\1_{HIDDEN}", text)
    return _IN_SETTINGS.sub(rf"\1\2{HIDDEN}", _IN_ADDRESS.sub(rf"\1:{HIDDEN}@", text))


def write_logs(level: str) -> None:
    """Send our events and the libraries' to standard error from `level` on (debug, info, warning, error)."""
    shared: list[structlog.typing.Processor] = [
        structlog.contextvars.merge_contextvars,
        structlog.stdlib.add_logger_name,
        structlog.stdlib.add_log_level,
        structlog.stdlib.ExtraAdder(),
        structlog.processors.TimeStamper(fmt="iso", utc=True),
    ]
    lines = structlog.stdlib.ProcessorFormatter(
        foreign_pre_chain=shared,
        processors=[
            structlog.stdlib.ProcessorFormatter.remove_processors_meta,
            structlog.processors.format_exc_info,
            _strike_out,
            structlog.processors.JSONRenderer(),
        ],
    )
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(lines)
    logging.basicConfig(handlers=[handler], level=_LEVELS[level], force=True)
    for name in _QUIET:
        logging.getLogger(name).setLevel(max(logging.WARNING, _LEVELS[level]))
    structlog.configure(
        processors=[
            structlog.stdlib.filter_by_level,
            *shared,
            structlog.stdlib.ProcessorFormatter.wrap_for_formatter,
        ],
        logger_factory=structlog.stdlib.LoggerFactory(),
        wrapper_class=structlog.stdlib.BoundLogger,
        cache_logger_on_first_use=True,
    )


def _strike_out(_: Any, __: str, event: MutableMapping[str, Any]) -> MutableMapping[str, Any]:
    event.pop("color_message", None)  # the server's own line once more, with codes for a terminal
    return {name: _struck_out(name, value) for name, value in event.items()}


def _struck_out(name: str, value: Any) -> Any:
    if _SECRET_NAMES.search(name):
        return HIDDEN
    if isinstance(value, str):
        return without_secrets(value)
    if isinstance(value, Mapping):
        return {str(key): _struck_out(str(key), held) for key, held in value.items()}
    if isinstance(value, list | tuple):
        return [_struck_out("", held) for held in value]
    return value if isinstance(value, int | float | bool | None) else without_secrets(str(value))
