"""Give every state of the catalogue a stamp that no other has, not even one of a copy that was put back."""

from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    embedded = op.get_bind().dialect.name == "sqlite"
    text = "TEXT" if embedded else 'TEXT COLLATE "C"'
    at_random = "lower(hex(randomblob(16)))" if embedded else "gen_random_uuid()::text"
    op.execute(f"ALTER TABLE catalogue_state ADD COLUMN stamp {text}")
    op.execute(f"UPDATE catalogue_state SET stamp = {at_random}")


def downgrade() -> None:
    op.execute("ALTER TABLE catalogue_state DROP COLUMN stamp")
