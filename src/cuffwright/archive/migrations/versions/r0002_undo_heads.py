"""The list of cases says which event would be undone and redone next."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the two heads; the list is rebuilt from the events right after."""
    with op.batch_alter_table("cases") as cases:
        cases.add_column(sa.Column("undo_seq", sa.Integer, nullable=True))
        cases.add_column(sa.Column("redo_seq", sa.Integer, nullable=True))
