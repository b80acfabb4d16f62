"""Serve what a search costs without the search: the same request decoded, the same answer encoded.

`bare`: the web framework alone, one handler, no middleware. `plumbing`: this project's whole application,
its host check, gate, request ids, limits, log, counts and entity tags, and a handler that is made like that
of the searches. Both look a prepared answer up by path and query, and encode it anew each time.
Run by `measure_search`: `python -m tests.benchmarks.floor_server FLOOR ANSWERS`.
"""

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import click
import msgspec
from litestar import Litestar, Request, Response, get

from api.app import create_app
from api.database import open_database
from api.logs import write_logs
from api.matching.routes import asked_in_query, get_matches
from api.matching.shapes import MatchAnswer
from api.serving import address_of, listen, serve
from api.settings import Settings
from api.upgrade import upgrade_database
from api.wire.operation import JSON, OPERATION_KEY, operation

FLOORS = ("bare", "plumbing")
Answers = dict[tuple[str, bytes], MatchAnswer]
"""The prepared answers by kind and query."""


class Prepared(msgspec.Struct):
    """One answer of a search, as it was given: a line of the file of answers."""

    kind: str
    query: str
    answer: MatchAnswer


def read_answers(file: Path) -> Answers:
    """Return the answers of a file, one JSON object a line."""
    decoder = msgspec.json.Decoder(Prepared)
    with file.open("rb") as opened:
        prepared = [decoder.decode(line) for line in opened]
    return {(one.kind, one.query.encode()): one.answer for one in prepared}


def bare_app(answers: Answers) -> Litestar:
    """Return the framework with one handler: it reads the parameters of the query and encodes the answer."""
    encoder = msgspec.json.Encoder()

    @get("/v1/matches/{kind:str}", media_type=JSON)
    async def bare(request: Request[Any, Any, Any], kind: str) -> Response[bytes]:
        request.query_params.dict()
        answer = answers[kind, request.scope["query_string"]]
        return Response(encoder.encode(answer), media_type=JSON)

    return Litestar([bare], openapi_config=None, logging_config=None)


def plumbing_app(answers: Answers, folder: Path) -> Litestar:
    """Return the application on an empty database in `folder`, with a handler beside that of the searches.

    It is asked at /floor instead of /v1.
    """
    settings = Settings(data=folder)
    database = open_database(None, settings.database_file)
    upgrade_database(database, folder / "backups", with_backup=False)
    app = create_app(settings, database)
    searching = get_matches.opt[OPERATION_KEY]

    @operation(replace(searching, path="/floor/matches/{kind}", name="floor_matches", links={}))
    def floor_matches(kind: str, query_string: bytes, prepared: Answers) -> MatchAnswer:
        """Take the words of a search, and answer what is prepared."""
        asked_in_query(query_string)
        return prepared[kind, query_string]

    app.state["prepared"] = answers
    app.register(floor_matches)
    return app


@click.command()
@click.argument("floor", type=click.Choice(FLOORS))
@click.argument("answers", type=click.Path(exists=True, dir_okay=False, path_type=Path))
def main(floor: str, answers: Path) -> None:
    """Serve one of the floors on a free loopback port until ended."""
    write_logs("info")
    prepared = read_answers(answers)
    with tempfile.TemporaryDirectory() as folder, listen("127.0.0.1", 0) as listening:
        app = bare_app(prepared) if floor == "bare" else plumbing_app(prepared, Path(folder))
        serve(app, listening, lambda: click.echo(f"Open {address_of(listening, '127.0.0.1')}"))


if __name__ == "__main__":
    main()
