"""Note in the log which version of the catalogue a change made, so that what is derived can follow it."""

from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    whole = "INTEGER" if op.get_bind().dialect.name == "sqlite" else "BIGINT"
    op.execute(f"ALTER TABLE audit_entry ADD COLUMN catalogue_version {whole}")
    op.create_index("ix_audit_entry_catalogue_version", "audit_entry", ["catalogue_version"])


def downgrade() -> None:
    op.drop_index("ix_audit_entry_catalogue_version", "audit_entry")
    op.execute("ALTER TABLE audit_entry DROP COLUMN catalogue_version")
