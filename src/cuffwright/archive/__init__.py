"""The append-only store: what happened to each case, kept so that nothing is lost and nothing can be altered unseen.

Events are the only truth; the list of cases is folded from them and can be rebuilt. Payloads are locked with one
key per patient, events form a chain of hashes over the ciphertext, and destroying a key erases the person while the
chain still verifies. :func:`open_archive` opens the archive in a folder; :func:`fold` turns a case's events into a
state.
"""

from cuffwright.archive.chain import Fault, Verdict
from cuffwright.archive.event import Event
from cuffwright.archive.ledger import Archive, open_archive
from cuffwright.archive.projection import CaseLine
from cuffwright.archive.refusal import StaleCase
from cuffwright.archive.replay import fold, history, in_force
from cuffwright.archive.undo import History

__all__ = [
    "Archive",
    "CaseLine",
    "Event",
    "Fault",
    "History",
    "StaleCase",
    "Verdict",
    "fold",
    "history",
    "in_force",
    "open_archive",
]
