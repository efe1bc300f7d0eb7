"""Take a bundle into the archive: only ever by adding events."""

from collections.abc import Sequence

from sqlalchemy import Connection

from cuffwright.archive import listing, rows
from cuffwright.archive.bundle import Bundle
from cuffwright.archive.chain import Raw
from cuffwright.archive.projection import CaseLine, standing_of
from cuffwright.archive.reader import Reader
from cuffwright.case.errors import ArchiveError


def restore(connection: Connection, reader: Reader, bundle: Bundle) -> CaseLine:
    """Add the events of ``bundle`` that the case has not seen yet, and its keys.

    Raises
    ------
    ArchiveError
        If the histories part, an id is taken by another event, a key does not open its events or names another
        patient than they do, or the patient was erased here.
    """
    stored = rows.of_case(connection, bundle.case)
    _check_same(stored, bundle)
    _check_keys(reader, bundle)
    for raw in bundle.rows[len(stored) :]:
        command_id = rows.text(raw["id"])
        if rows.with_id(connection, command_id) is not None:
            raise ArchiveError(
                f"command id {command_id} of the bundle belongs to another event here; the bundle is not taken"
            )
        rows.add(connection, raw)
    for key in bundle.keys:
        reader.keys.keep(key)
    listing.fold_anew(connection, reader, bundle.case, rows.of_case(connection, bundle.case))
    return listing.line(connection, reader, bundle.case)


def _check_same(stored: Sequence[Raw], bundle: Bundle) -> None:
    for ours, theirs in zip(stored, bundle.rows, strict=False):
        if ours != theirs:
            raise ArchiveError(
                f"case {bundle.case} is already here and parts from the bundle at event {rows.text(ours['seq'])}; "
                "keep one of the two, they are not mixed"
            )


def _check_keys(reader: Reader, bundle: Bundle) -> None:
    # Before anything is written: a key that opens nothing, once kept, would stand in the way of the right one.
    events = reader.events(bundle.case, bundle.rows, bundle.keys)
    if any(event.locked or event.erased for event in events):
        return
    named = standing_of(events).now().get("patient")
    if any(named not in (None, key.patient) for key in bundle.keys):
        raise ArchiveError(
            "the key in the bundle names another patient than its events; it is not taken, export it again"
        )
