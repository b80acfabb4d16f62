"""Which methods a path offers, and the answer to OPTIONS that says so.

The framework's own answer names the methods of one handler alone where several share a path.
"""

import re

from litestar import Litestar
from litestar.routes import HTTPRoute
from litestar.types import ASGIApp, Receive, Scope, Send


def methods_offered(app: Litestar, path: str) -> tuple[str, ...]:
    """Return the methods of a path, in alphabetical order; none where there is no such path."""
    routes = [route for route in app.routes if isinstance(route, HTTPRoute)]
    matching = [route for route in routes if re.fullmatch(_path_pattern(route.path), path)]
    return tuple(sorted({str(method) for route in matching for method in route.methods}))


def answer_options(app: Litestar) -> ASGIApp:
    """Wrap an application so that OPTIONS of a path that it has is answered with all its methods."""
    inner = app.asgi_handler

    async def wrapped(scope: Scope, receive: Receive, send: Send) -> None:
        offered = methods_offered(app, scope["path"]) if scope.get("method") == "OPTIONS" else ()
        if not offered:
            await inner(scope, receive, send)
            return
        headers = [(b"allow", ", ".join(offered).encode())]
        await send({"type": "http.response.start", "status": 204, "headers": headers})
        await send({"type": "http.response.body", "body": b"", "more_body": False})

    return wrapped


def _path_pattern(template: str) -> str:
    """Return the pattern of a route's paths; a parameter of type `path` may hold slashes."""
    return re.sub(r"\{[^}]+\}", "[^/]+", re.sub(r"\{[^}]+:path\}", "(?s:.+)", template))
