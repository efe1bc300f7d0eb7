"""The first tables: events, which can only be added, and the list of cases."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Create both tables and the triggers that refuse to change or remove an event."""
    op.create_table(
        "events",
        sa.Column("case", sa.String(200), nullable=False),
        sa.Column("seq", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("schema", sa.Integer, nullable=False),
        sa.Column("id", sa.String(200), nullable=False),
        sa.Column("at", sa.String(27), nullable=False),
        sa.Column("by", sa.String(200), nullable=False),
        sa.Column("role", sa.String(200), nullable=False),
        sa.Column("kind", sa.String(200), nullable=False),
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("payload", sa.LargeBinary, nullable=False),
        sa.Column("prev_hash", sa.String(64), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("case", "seq", name="pk_events"),
        sa.UniqueConstraint("case", "seq", name="uq_events_case_seq"),
        sa.UniqueConstraint("id", name="uq_events_id"),
    )
    op.create_table(
        "cases",
        sa.Column("case", sa.String(200), nullable=False),
        sa.Column("key", sa.String(32), nullable=False),
        sa.Column("standing", sa.LargeBinary, nullable=False),
        sa.Column("archived", sa.Boolean, nullable=False),
        sa.Column("updated_at", sa.String(27), nullable=False),
        sa.Column("last_seq", sa.Integer, nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("case", name="pk_cases"),
        sa.ForeignKeyConstraint(["case", "last_seq"], ["events.case", "events.seq"], name="fk_cases_case_last_seq"),
    )
    for act in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER events_refuse_{act.lower()} BEFORE {act} ON events "
            "BEGIN SELECT RAISE(ABORT, 'events are only ever added'); END"
        )
