"""Whether the process lives, and whether it can answer."""

from typing import Annotated, Literal

from msgspec import Meta

from api import __version__
from api.database import Database
from api.upgrade import current_migration, newest_migration
from api.wire.operation import Operation, operation
from api.wire.refusals import NotReady
from api.wire.shapes import Answer


class Liveness(Answer, frozen=True, kw_only=True):
    """The process runs."""

    status: Literal["live"]
    release: Annotated[str, Meta(description="the release that runs")]


class Readiness(Answer, frozen=True, kw_only=True):
    """The service can answer."""

    status: Literal["ready"]
    database: Literal["sqlite", "postgresql"]
    migration: Annotated[str, Meta(description="the migration at which the database stands")]


@operation(
    Operation("GET", "/health/live", "get_liveness", "operation", "Whether the process lives", Liveness)
)
def get_liveness() -> Liveness:
    """Answer that the process runs."""
    return Liveness(status="live", release=__version__)


@operation(
    Operation(
        "GET",
        "/health/ready",
        "get_readiness",
        "operation",
        "Whether the service can answer",
        Readiness,
        problems=(NotReady,),
    )
)
def get_readiness(database: Database) -> Readiness:
    """Answer that the database is reached and stands at this release's migration."""
    with database.read() as reads:
        found = current_migration(reads.connection)
    if found != newest_migration():
        raise NotReady(f"the database stands at migration {found!r}")
    return Readiness(
        status="ready", database="sqlite" if database.is_embedded else "postgresql", migration=found
    )


ROUTES = (get_liveness, get_readiness)
