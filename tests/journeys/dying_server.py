"""A server killed in the middle of a write: `python dying_server.py STAGE`, settings from the environment.

It prints its address and serves; when the database is about to be told a statement that begins with STAGE
(or to commit, or right after a commit with an answer kept), the process is ended by SIGKILL.
"""

import os
import signal
import sys

import uvicorn
from sqlalchemy import event

from api.app import create_app
from api.preparing import open_for
from api.serving import listen, served_as
from api.settings import read_settings

ANSWER_KEPT = "INSERT INTO answered_request"


def main(stage: str) -> None:
    settings = read_settings(os.environ)
    database = open_for(settings)
    seen: list[str] = []

    def die() -> None:
        os.kill(os.getpid(), signal.SIGKILL)

    def on_statement(connection: object, cursor: object, statement: str, *_: object) -> None:
        seen.append(statement)
        if statement.startswith(stage):
            die()

    def on_commit(connection: object) -> None:
        if stage == "commit" and any(one.startswith(ANSWER_KEPT) for one in seen):
            die()

    def on_given_back(*_: object) -> None:
        if stage == "committed" and any(one.startswith(ANSWER_KEPT) for one in seen):
            die()

    event.listen(database.engine, "before_cursor_execute", on_statement)
    event.listen(database.engine, "commit", on_commit)
    event.listen(database.engine, "checkin", on_given_back)
    listening = listen("127.0.0.1", 0)
    sys.stdout.write(f"Open http://127.0.0.1:{listening.getsockname()[1]}/\n")
    sys.stdout.flush()
    uvicorn.Server(served_as(create_app(settings, database))).run(sockets=[listening])


main(sys.argv[1])
