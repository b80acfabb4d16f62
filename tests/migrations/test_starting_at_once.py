"""Several servers that start at once on an empty database migrate once and load once."""

import json
import os
import subprocess
import sys

from databases import Place
from sqlalchemy import text

from api.upgrade import newest_migration

SERVERS = 4

START = """
import json, sys
from datetime import date
from pathlib import Path
from api.database import open_database
from api.exchange.load_catalogue import is_empty, load_catalogue
from api.exchange.read_catalogue import read_catalogue
from api.travelling import travelling
from api.upgrade import upgrade_database

url, folder = sys.argv[1:]
catalogue = read_catalogue(travelling("seed_catalog"))
print("ready", flush=True)
sys.stdin.readline()
database = open_database(url or None, Path(folder) / "startwright.sqlite3")
upgrade = upgrade_database(database, Path(folder) / "backups")
added = 0
with database.write() as session:
    session.wait_to_be_alone()
    if is_empty(session.connection):
        added = sum(load_catalogue(session.connection, catalogue, date(2026, 11, 25)).added.values())
print(json.dumps([upgrade.found, upgrade.reached, added]))
"""


def test_servers_that_start_at_once_migrate_once_and_load_once(empty_place: Place) -> None:
    command = [sys.executable, "-c", START, empty_place.url or "", str(empty_place.folder)]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE}
    servers = [subprocess.Popen(command, text=True, env={**os.environ}, **pipes) for _ in range(SERVERS)]
    for server in servers:
        assert server.stdout.readline() == "ready\n", server.communicate()[1]
    for server in servers:  # all are loaded and wait for this
        server.stdin.write("go\n")
        server.stdin.flush()
    told = []
    for server in servers:
        output, complaint = server.communicate(timeout=60)
        assert server.returncode == 0, complaint
        told.append(json.loads(output))
    head = newest_migration()
    assert sorted(found or "" for found, _, _ in told) == ["", *[head] * (SERVERS - 1)]
    assert {reached for _, reached, _ in told} == {head}
    loads = [added for _, _, added in told if added]
    assert len(loads) == 1
    database = empty_place.open()
    with database.read() as session:
        assert session.number(text("SELECT version FROM catalogue_state")) == 1
        assert session.number(text("SELECT count(*) FROM alembic_version")) == 1
    database.close()
    assert not (empty_place.folder / "backups").exists()
