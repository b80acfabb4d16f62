"""Run migrations on the connection that `api.upgrade` hands over; it owns lock, backup and commit."""

from alembic import context
from sqlmodel import SQLModel

import api.every_table  # noqa: F401  # importing it declares every table

config = context.config
connection = config.attributes.get("connection")
if connection is None:
    raise RuntimeError("run migrations through `startwright upgrade-db`, which locks and backs up first")

context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    render_as_batch=connection.dialect.name == "sqlite",
    compare_type=True,
    compare_server_default=True,
    transaction_per_migration=False,
)
context.run_migrations()
