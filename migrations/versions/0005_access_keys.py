"""Create access keys."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

TEXT = sa.Text().with_variant(sa.TEXT(collation="C"), "postgresql")

SCOPES = (
    "catalogue",
    "prices",
    "estimates",
    "admin",
    "catalogue prices",
    "catalogue estimates",
    "catalogue admin",
    "prices estimates",
    "prices admin",
    "estimates admin",
    "catalogue prices estimates",
    "catalogue prices admin",
    "catalogue estimates admin",
    "prices estimates admin",
    "catalogue prices estimates admin",
)


def is_moment(column: str) -> sa.CheckConstraint:
    rule = f"length({column}) = 20 AND {column} LIKE '____-__-__T__:__:__Z'"
    return sa.CheckConstraint(rule, name=op.f(f"ck_access_key_{column}_is_moment"))


def upgrade() -> None:
    listed = ", ".join(f"'{scopes}'" for scopes in SCOPES)
    op.create_table(
        "access_key",
        sa.Column("id", TEXT, nullable=False),
        sa.Column("holder", TEXT, nullable=False),
        sa.Column("shown", TEXT, nullable=False),
        sa.Column("digest", TEXT, nullable=False),
        sa.Column("scopes", TEXT, nullable=False),
        sa.Column("made_at", TEXT, nullable=False),
        sa.Column("expires_at", TEXT, nullable=False),
        sa.Column("revoked_at", TEXT, nullable=True),
        sa.Column("last_used_on", TEXT, nullable=True),
        sa.CheckConstraint("length(holder) BETWEEN 1 AND 80", name=op.f("ck_access_key_holder_has_name")),
        sa.CheckConstraint("length(digest) = 64", name=op.f("ck_access_key_digest_is_sha256")),
        sa.CheckConstraint(f"scopes IN ({listed})", name=op.f("ck_access_key_scopes_known")),
        is_moment("made_at"),
        is_moment("expires_at"),
        is_moment("revoked_at"),
        sa.CheckConstraint("expires_at > made_at", name=op.f("ck_access_key_expires_later")),
        sa.CheckConstraint("revoked_at >= made_at", name=op.f("ck_access_key_revoked_later")),
        sa.CheckConstraint(
            "length(last_used_on) = 10 AND last_used_on LIKE '____-__-__'",
            name=op.f("ck_access_key_last_used_on_is_day"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_access_key")),
        sa.UniqueConstraint("shown", name=op.f("uq_access_key_shown")),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_access_key_holder"), "access_key", ["holder"])


def downgrade() -> None:
    op.drop_table("access_key")
