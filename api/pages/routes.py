"""HTTP of the pages: the front page, the interactive contract, the static files."""

from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from litestar import MediaType, Request, Response, get
from litestar.static_files import create_static_files_router

from api.pages.store import count_holdings

_HERE: Final = Path(__file__).resolve().parent
_templates: Final = Environment(
    loader=FileSystemLoader(_HERE / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)

EXAMPLES: Final = (
    (
        "/v1/matches/bushing?bore=12.62mm&length=11.9mm&instrument=digital_caliper",
        "A worn bush: bore 12.62 mm, length 11.9 mm by caliper. Which parts fit?",
    ),
    (
        "/v1/families?voltage=12&teeth=9&pilot_diameter=2.625in",
        "A starter without a tag: 12 V, nine teeth, pilot 2 5/8 in",
    ),
    ("/v1/families/D12-01/interchange", "Everything that fits each position of family D12-01"),
    ("/v1/numbers/uxb0560", "An old number, followed to the part that replaced it"),
    ("/v1/kinds", "The kinds of wear part, with the model that matches them"),
    ("/docs", "The whole service, to try out"),
    ("/openapi.json", "The contract for programs (OpenAPI 3.1)"),
)

DOCS_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""The interactive contract sets styles on its elements; no other page may."""


@get("/", sync_to_thread=True, include_in_schema=False)
def show_front_page(request: Request[Any, Any, Any]) -> Response[str]:
    """Show what the service does, what the catalogue holds, where to begin, and the cautions."""
    with request.app.state.database.read() as reads:
        holdings = count_holdings(reads)
    text = _templates.get_template("front.html").render(examples=EXAMPLES, holdings=holdings)
    return Response(text, media_type=MediaType.HTML)


@get("/docs", sync_to_thread=False, include_in_schema=False)
def show_docs() -> Response[str]:
    """Show the contract, to try out."""
    return Response(
        _templates.get_template("docs.html").render(),
        media_type=MediaType.HTML,
        headers={"content-security-policy": DOCS_POLICY},
    )


@get("/openapi.json", sync_to_thread=False, include_in_schema=False)
def show_contract(request: Request[Any, Any, Any]) -> Response[str]:
    """Answer the OpenAPI document, the same text that is committed."""
    return Response(request.app.state.document, media_type=MediaType.JSON)


static_files = create_static_files_router(
    path="/static", directories=[_HERE / "static"], include_in_schema=False
)

ROUTES = (show_front_page, show_docs, show_contract, static_files)
