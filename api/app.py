"""The composition root: the one place where settings, database, slices and HTTP meet."""

from functools import cache
from typing import Any

import msgspec
import structlog
from litestar import Litestar, Request, Response
from litestar.datastructures import State
from litestar.exceptions import HTTPException, MethodNotAllowedException, NotFoundException
from litestar.handlers import HTTPRouteHandler
from litestar.plugins.prometheus import PrometheusConfig, PrometheusController
from sqlalchemy.exc import DBAPIError

from api import health
from api.access import routes as access_routes
from api.access.count_requests import RequestCounts
from api.access.exactly_once import ExactlyOnce
from api.access.gate import Gate, Openness
from api.access.in_flight import InFlight
from api.admission import ask_gate, extra_fields, turned_away
from api.comparison import routes as comparison_routes
from api.contract import PROBLEM_JSON
from api.database import Database, DatabaseUnavailable, open_database
from api.diagnosis import routes as diagnosis_routes
from api.document import document_text
from api.errors import DomainError, shown
from api.fit import routes as fit_routes
from api.inspection import routes as inspection_routes
from api.inspection.limit_data import read_limits
from api.interchange import routes as interchange_routes
from api.matching import routes as matching_routes
from api.matching.index.candidate_index import CandidateIndex
from api.measurement.instrument_data import read_instruments
from api.methods_offered import answer_options, methods_offered
from api.offers import routes as offer_routes
from api.pages import routes as page_routes
from api.problems import problem_of
from api.records import routes as record_routes
from api.settings import Settings
from api.starters import routes as starter_routes
from api.travelling import travelling
from api.upkeep import routes as upkeep_routes
from api.wire.envelope import Turned, envelope
from api.wire.operation import OPERATION_KEY, Operation
from api.wire.refusals import (
    HostNotServed,
    InternalFault,
    MethodNotOffered,
    PathNotKnown,
    UnreadableBody,
)
from api.wire.request_ids import request_id

_log = structlog.get_logger("startwright")

ROUTES: tuple[HTTPRouteHandler, ...] = (
    *health.ROUTES,
    *matching_routes.ROUTES,
    *starter_routes.ROUTES,
    *offer_routes.ROUTES,
    *interchange_routes.ROUTES,
    *fit_routes.ROUTES,
    *comparison_routes.ROUTES,
    *inspection_routes.ROUTES,
    *diagnosis_routes.ROUTES,
    *upkeep_routes.ROUTES,
    *record_routes.ROUTES,
    *access_routes.ROUTES,
)


def operations() -> tuple[Operation, ...]:
    """Return every operation of the contract, in the order of the routes."""
    return tuple(route.opt[OPERATION_KEY] for route in ROUTES)


def create_app(settings: Settings, database: Database | None = None) -> Litestar:
    """Build the application on `settings`; the database must stand at this release's migration."""
    opened = database or open_database(settings.database_url, settings.database_file)
    instruments = read_instruments((travelling("seed_catalog") / "instruments.toml").read_text("utf-8"))
    limits = read_limits((travelling("seed_catalog") / "limits.toml").read_text("utf-8"))
    openness = Openness(reading=settings.open_reading, writing=settings.open_writes)
    gate = Gate(opened, RequestCounts(settings.data), openness, settings.quotas)
    in_flight = InFlight(settings.data if opened.is_embedded else None)
    index = CandidateIndex(opened, settings.data / "index")
    state = State(
        {
            "gate": gate,
            "writer": ExactlyOnce(opened, in_flight),
            "settings": settings,
            "database": opened,
            "problem_of": problem_of,
            "index": index,
            "instruments": instruments,
            "limits": limits,
            "diagnosis": diagnosis_routes.read_diagnosis_folder(travelling("seed_catalog") / "diagnosis"),
            "document": _contract,
        }
    )
    metrics = PrometheusConfig(app_name="startwright", prefix="startwright", group_path=True)
    app = Litestar(
        route_handlers=[*ROUTES, *page_routes.ROUTES, PrometheusController],
        state=state,
        openapi_config=None,
        logging_config=None,
        request_max_body_size=None,
        middleware=[metrics.middleware],
        exception_handlers={
            DomainError: _answer_domain_error,
            HTTPException: _answer_http_error,
            DBAPIError: _answer_database_error,
            Exception: _answer_fault,
        },
        on_startup=[index.warm_beside],
        on_shutdown=[index.close, opened.close, gate.close, in_flight.close],
    )
    app.asgi_handler = envelope(
        answer_options(app), settings.allowed_hosts, _foreign_host, ask_gate(gate, settings.body_limit)
    )  # outside the router: unknown paths pass it too
    return app


@cache
def _contract() -> bytes:
    """Return the contract as it is served, written when first asked for: it takes some tenths of a second."""
    return document_text(operations()).encode()


def _foreign_host(host: str, identity: str) -> Turned:
    return turned_away(HostNotServed(shown(host)), identity)


def _problem_response(request: Request[Any, Any, Any], error: DomainError) -> Response[bytes]:
    problem = problem_of(
        error, in_query=request.method == "GET", instance=f"urn:uuid:{request_id(request.scope)}"
    )
    headers = extra_fields(problem.status)
    if isinstance(error, MethodNotOffered):
        headers["Allow"] = ", ".join(error.offered)
    return Response(
        msgspec.json.encode(problem), status_code=problem.status, media_type=PROBLEM_JSON, headers=headers
    )


def _answer_domain_error(request: Request[Any, Any, Any], error: DomainError) -> Response[bytes]:
    return _problem_response(request, error)


def _answer_http_error(request: Request[Any, Any, Any], error: HTTPException) -> Response[bytes]:
    if isinstance(error, NotFoundException):
        return _problem_response(request, PathNotKnown(shown(request.scope["path"])))
    if isinstance(error, MethodNotAllowedException):
        return _problem_response(
            request,
            MethodNotOffered(shown(request.method), methods_offered(request.app, request.scope["path"])),
        )
    if 400 <= error.status_code < 500:
        return _problem_response(request, UnreadableBody(shown(error.detail)))
    return _answer_fault(request, error)


def _answer_database_error(request: Request[Any, Any, Any], error: DBAPIError) -> Response[bytes]:
    _log.error("database_error", request=request_id(request.scope), kind=type(error).__name__, exc_info=error)
    if error.connection_invalidated or "locked" in str(error.orig):
        return _problem_response(request, DatabaseUnavailable("it is busy or out of reach"))
    return _problem_response(request, InternalFault())


def _answer_fault(request: Request[Any, Any, Any], error: Exception) -> Response[bytes]:
    _log.error("internal_fault", request=request_id(request.scope), kind=type(error).__name__, exc_info=error)
    return _problem_response(request, InternalFault())
