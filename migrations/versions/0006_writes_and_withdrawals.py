"""Keep answers of creates and every change; let everything be withdrawn, on a day."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

WHOLE = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")

HAD_IT = ("part", "family", "starter", "supplier", "offer")
GET_IT = ("maker", "size", "number", "supersession", "position", "listing")


def is_moment(table: str, column: str) -> sa.CheckConstraint:
    rule = f"length({column}) = 20 AND {column} LIKE '____-__-__T__:__:__Z'"
    return sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{column}_is_moment"))


def upgrade() -> None:
    op.create_table(
        "answered_request",
        sa.Column("key_digest", TEXT, nullable=False),
        sa.Column("request_digest", TEXT, nullable=False),
        sa.Column("answered_at", TEXT, nullable=False),
        sa.Column("status", WHOLE, nullable=False),
        sa.Column("content", TEXT, nullable=False),
        sa.Column("fields", TEXT, nullable=False),
        sa.CheckConstraint("length(key_digest) = 64", name=op.f("ck_answered_request_key_is_sha256")),
        sa.CheckConstraint("length(request_digest) = 64", name=op.f("ck_answered_request_request_is_sha256")),
        sa.CheckConstraint("status BETWEEN 200 AND 299", name=op.f("ck_answered_request_status_is_success")),
        is_moment("answered_request", "answered_at"),
        sa.PrimaryKeyConstraint("key_digest", name=op.f("pk_answered_request")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_answered_request_answered_at"), "answered_request", ["answered_at"])
    op.create_table(
        "audit_entry",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("at", TEXT, nullable=False),
        sa.Column("holder", TEXT, nullable=True),
        sa.Column("key_id", TEXT, nullable=True),
        sa.Column("address", TEXT, nullable=False),
        sa.Column("request_id", TEXT, nullable=False),
        sa.Column("action", TEXT, nullable=False),
        sa.Column("noun", TEXT, nullable=False),
        sa.Column("name", TEXT, nullable=False),
        sa.Column("before", TEXT, nullable=True),
        sa.Column("after", TEXT, nullable=True),
        sa.CheckConstraint(
            "action IN ('create', 'change', 'withdraw', 'restore', 'revoke')",
            name=op.f("ck_audit_entry_action_known"),
        ),
        is_moment("audit_entry", "at"),
        sa.CheckConstraint(
            "before IS NOT NULL OR after IS NOT NULL", name=op.f("ck_audit_entry_says_what_changed")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_audit_entry")),
        sqlite_strict=True,
    )
    op.create_index("ix_audit_entry_noun_name", "audit_entry", ["noun", "name"])
    # Column by column: a table that is rebuilt would lose its children's rows or its STRICTness.
    for table in GET_IT:
        _add_withdrawn_on(table)
    for table in HAD_IT:
        op.execute(f"ALTER TABLE {table} RENAME COLUMN withdrawn_on TO withdrawn_before")
        _add_withdrawn_on(table)
        op.execute(f"UPDATE {table} SET withdrawn_on = withdrawn_before")
        op.execute(f"ALTER TABLE {table} DROP COLUMN withdrawn_before")


def downgrade() -> None:
    for table in HAD_IT:
        op.execute(f"ALTER TABLE {table} RENAME COLUMN withdrawn_on TO withdrawn_after")
        op.execute(f"ALTER TABLE {table} ADD COLUMN withdrawn_on {_text()}")
        op.execute(f"UPDATE {table} SET withdrawn_on = withdrawn_after")
        op.execute(f"ALTER TABLE {table} DROP COLUMN withdrawn_after")
    for table in GET_IT:
        op.execute(f"ALTER TABLE {table} DROP COLUMN withdrawn_on")
    op.drop_index("ix_audit_entry_noun_name", "audit_entry")
    op.drop_table("audit_entry")
    op.drop_index(op.f("ix_answered_request_answered_at"), "answered_request")
    op.drop_table("answered_request")


def _add_withdrawn_on(table: str) -> None:
    op.execute(
        f"ALTER TABLE {table} ADD COLUMN withdrawn_on {_text()} "
        f"CONSTRAINT ck_{table}_withdrawn_on_is_day "
        "CHECK (length(withdrawn_on) = 10 AND withdrawn_on LIKE '____-__-__')"
    )


def _text() -> str:
    return "TEXT" if op.get_bind().dialect.name == "sqlite" else 'TEXT COLLATE "C"'
