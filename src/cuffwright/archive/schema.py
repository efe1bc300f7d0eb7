"""The two tables: events, the only truth, and cases, a list that can be rebuilt from them."""

from datetime import datetime

from sqlalchemy import ForeignKeyConstraint, LargeBinary, MetaData, String, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

from cuffwright.archive.utc import UtcTime


class Table(DeclarativeBase):
    """Base of the archive's tables; constraints are named so that a migration can find them."""

    metadata = MetaData(
        naming_convention={
            "pk": "pk_%(table_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s",
        }
    )


class EventRow(Table):
    """One event; triggers in the database refuse to change or remove it.

    ``key`` is the random name of the patient's key, never the patient; ``payload`` is ciphertext.
    """

    __tablename__ = "events"
    __table_args__ = (UniqueConstraint("case", "seq"), UniqueConstraint("id"))

    case: Mapped[str] = mapped_column(String(200), primary_key=True)
    seq: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    schema: Mapped[int]
    id: Mapped[str] = mapped_column(String(200))
    at: Mapped[datetime] = mapped_column(UtcTime)
    by: Mapped[str] = mapped_column(String(200))
    role: Mapped[str] = mapped_column(String(200))
    kind: Mapped[str] = mapped_column(String(200))
    key: Mapped[str] = mapped_column(String(32))
    payload: Mapped[bytes] = mapped_column(LargeBinary)
    prev_hash: Mapped[str] = mapped_column(String(64))
    hash: Mapped[str] = mapped_column(String(64))


class CaseRow(Table):
    """One line of the list of cases, folded from its events.

    ``standing`` is ciphertext: title, patient, side, operation date, and what can be undone. ``last_seq`` and
    ``head`` repeat the end of the ledger, so that events removed from its end are missed.
    """

    __tablename__ = "cases"
    __table_args__ = (ForeignKeyConstraint(["case", "last_seq"], ["events.case", "events.seq"]),)

    case: Mapped[str] = mapped_column(String(200), primary_key=True)
    key: Mapped[str] = mapped_column(String(32))
    standing: Mapped[bytes] = mapped_column(LargeBinary)
    archived: Mapped[bool]
    updated_at: Mapped[datetime] = mapped_column(UtcTime)
    last_seq: Mapped[int]
    head: Mapped[str] = mapped_column(String(64))
    undo_seq: Mapped[int | None]
    redo_seq: Mapped[int | None]
