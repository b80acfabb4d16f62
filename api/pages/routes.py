"""HTTP of the pages: the front page, the interactive contract, the static files."""

from pathlib import Path
from typing import Any, Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from litestar import HttpMethod, Request, Response, route

from api.errors import shown
from api.pages.store import count_holdings
from api.wire.entity_tags import tagged_answer
from api.wire.operation import JSON
from api.wire.refusals import PathNotKnown

_HERE: Final = Path(__file__).resolve().parent
_READ: Final = [HttpMethod.GET, HttpMethod.HEAD]
_HTML: Final = "text/html"
_MEDIA_TYPES: Final = {".css": "text/css", ".js": "text/javascript"}
_TEXT: Final = "text/plain"

_templates: Final = Environment(
    loader=FileSystemLoader(_HERE / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_static: Final = {
    file.relative_to(_HERE / "static").as_posix(): file.read_bytes()
    for file in sorted((_HERE / "static").rglob("*"))
    if file.is_file()
}
"""Every static file by its name; held whole, so that no request's path ever reaches the file system."""

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


@route("/", http_method=_READ, sync_to_thread=True, include_in_schema=False)
def show_front_page(request: Request[Any, Any, Any]) -> Response[bytes]:
    """Show what the service does, what the catalogue holds, where to begin, and the cautions."""
    with request.app.state.database.read() as reads:
        holdings = count_holdings(reads)
    text = _templates.get_template("front.html").render(examples=EXAMPLES, holdings=holdings)
    return tagged_answer(request, text.encode(), _HTML)


@route("/docs", http_method=_READ, sync_to_thread=False, include_in_schema=False)
def show_docs(request: Request[Any, Any, Any]) -> Response[bytes]:
    """Show the contract, to try out."""
    return tagged_answer(request, _templates.get_template("docs.html").render().encode(), _HTML)


@route("/openapi.json", http_method=_READ, sync_to_thread=True, include_in_schema=False)
def show_contract(request: Request[Any, Any, Any]) -> Response[bytes]:
    """Answer the OpenAPI document, the same text that is committed."""
    return tagged_answer(request, request.app.state.document(), JSON)


@route("/static/{name:path}", http_method=_READ, sync_to_thread=False, include_in_schema=False)
def show_static_file(request: Request[Any, Any, Any]) -> Response[bytes]:
    """Answer a static file; raises `PathNotKnown` for any other name."""
    name = str(request.path_params["name"]).removeprefix("/")
    if name not in _static:
        raise PathNotKnown(shown(request.scope["path"]))
    return tagged_answer(request, _static[name], _MEDIA_TYPES.get(Path(name).suffix, _TEXT))


ROUTES: Final = (show_front_page, show_docs, show_contract, show_static_file)
