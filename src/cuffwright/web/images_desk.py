"""The pictures of cases kept at hand: series and decoded slices, and imports under way."""

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from cuffwright.case.errors import ImageError
from cuffwright.case.fact import FactBook
from cuffwright.case.image_reading import ImageImport
from cuffwright.course.board import Board
from cuffwright.course.imaging import ImagesDropped, ImagesTaken
from cuffwright.imaging.fingerprint import Fingerprint
from cuffwright.imaging.intake.series import Series, series_of
from cuffwright.imaging.intake.taking_in import without_doubles
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.window import Grey, grey_of
from cuffwright.web.cases import Cases, Stale
from cuffwright.web.images_import import Import, Wanted
from cuffwright.web.images_index import pictures_in
from cuffwright.web.images_store import ImageStore
from cuffwright.web.refusal import Refusal

SHELVES = 2
"""Numerical choice: cases whose pictures are kept at hand."""

KEPT_BYTES = 96 * 1024 * 1024
"""Numerical choice: room for the decoded pictures of one case; the page keeps its own."""

JOBS = 16
"""Numerical choice: imports that are remembered after they ended."""

SECRET = 32
"""Numerical choice: bytes of a secret."""


T = TypeVar("T")


@dataclass(frozen=True)
class Spot:
    """One picture on a shelf: its series and its index there."""

    series: int
    index: int


class Shelf:
    """The pictures of one case."""

    def __init__(self, folders: list[Path]) -> None:
        once, _ = without_doubles([picture for folder in folders for picture in pictures_in(folder)])
        self.series: tuple[Series, ...] = series_of(once)
        self._greys: OrderedDict[Spot, Grey | None] = OrderedDict()
        self._lock = threading.Lock()
        self._last: tuple[str, Any] | None = None
        self._spots = {
            (picture.sop_instance_uid, picture.frame): Spot(s, i)
            for s, one in enumerate(self.series)
            for i, picture in enumerate(one.pictures)
        }

    def grey(self, spot: Spot) -> Grey | None:
        """One picture decoded, kept while there is room; nothing for colour and for pictures drawn by a table.

        Several may be decoded at a time, since a compressed picture takes a process of its own.

        Raises
        ------
        ImageError
            When it cannot be decoded.
        Refusal
            404 when there is no such picture.
        """
        with self._lock:
            if spot in self._greys:
                self._greys.move_to_end(spot)
                return self._greys[spot]
        found = grey_of(self.picture(spot))
        with self._lock:
            self._greys[spot] = found
            while len(self._greys) > 1 and sum(g.values.nbytes for g in self._greys.values() if g) > KEPT_BYTES:
                self._greys.popitem(last=False)
        return found

    def values(self, spot: Spot) -> NDArray[np.float32]:
        """Modality values (rows x columns) of one picture; raises ImageError as :meth:`grey`, and for colour."""
        found = self.grey(spot)
        if found is None:
            raise ImageError(
                "the picture is in colour or drawn by a table of its own; it has no grey values to measure"
            )
        return found.values

    def spot(self, image: str, frame: int) -> Spot | None:
        """Where a picture stands, or nothing when it is not there any more."""
        return self._spots.get((image, frame))

    def picture(self, spot: Spot) -> Picture:
        """The picture there; raises Refusal 404 when there is none."""
        if 0 <= spot.series < len(self.series) and 0 <= spot.index < len(self.series[spot.series]):
            return self.series[spot.series][spot.index]
        raise Refusal(404, "there is no such picture in this case; choose one from the list")

    def once(self, name: str, make: Callable[[], T]) -> T:
        """What ``make`` gives, kept under ``name`` until another name is asked for."""
        with self._lock:
            if self._last is not None and self._last[0] == name:
                kept: T = self._last[1]
                return kept
        found = make()
        with self._lock:
            self._last = name, found
        return found

    def find(self, image: str, frame: int) -> Spot:
        """Where a picture stands; raises ImageError when it is not there."""
        found = self.spot(image, frame)
        if found is None:
            raise ImageError("the image is not among those of this case; import it again")
        return found


class ImagesDesk:
    """Pictures and imports of this server. Every method may be called from any thread, and none from the event loop."""

    def __init__(self, data: Path, book: FactBook, cases: Cases) -> None:
        self.book = book
        self.store = ImageStore(data)
        self._cases = cases
        self._lock = threading.Lock()
        self._shelves: OrderedDict[tuple[str, tuple[str, ...]], Shelf] = OrderedDict()
        self._jobs: OrderedDict[str, Import] = OrderedDict()
        self.store.prepare(cases.erased())

    def shelf(self, case: str, board: Board) -> Shelf:
        """The pictures of a case, read from their headers when they are not at hand."""
        key = case, tuple(one.id for one in board.imports if not one.dropped)
        with self._lock:
            found = self._shelves.get(key)
            if found is None:
                found = self._shelves[key] = Shelf(self.store.folders(case, key[1]))
                while len(self._shelves) > SHELVES:
                    self._shelves.popitem(last=False)
            self._shelves.move_to_end(key)
        return found

    def new_import(self, case: str, board: Board) -> Import:
        """Begin an import into a case; its files are laid down next. One under way in that case is stopped."""
        first = board.imports[0] if board.imports else None
        wanted = Wanted(
            case,
            board.sheet.identity.side,
            _whose(board.imports),
            bytes.fromhex(first.salt) if first else secrets.token_bytes(SECRET),
            bytes.fromhex(first.key) if first else secrets.token_bytes(SECRET),
        )
        job = Import(self.store.fresh(), wanted, self.store)
        with self._lock:
            unfinished = [one for one in self._jobs.values() if one.wanted.case == case]
        for one in unfinished:
            one.stop()
        with self._lock:
            self._jobs[job.name] = job
            while len(self._jobs) > JOBS:
                self._jobs.popitem(last=False)[1].stop()
        return job

    def job(self, case: str, name: str) -> Import:
        """An import of a case; raises Refusal 404 when there is none."""
        with self._lock:
            found = self._jobs.get(name)
        if found is None or found.wanted.case != case:
            raise Refusal(404, "there is no such import; begin it again")
        return found

    def asking(self, case: str) -> Import | None:
        """The import of a case that waits for a person's answer."""
        with self._lock:
            return next((one for one in self._jobs.values() if one.wanted.case == case and one.state == "asking"), None)

    def keep(self, job: Import, taken: ImageImport) -> None:
        """Write down in the case what was taken in."""
        case = job.wanted.case
        while True:
            now = self._cases.now(case)
            try:
                self._cases.make(case, self._cases.fresh_id(), now.seq, ImagesTaken(taken))
            except Stale:
                continue
            return

    def drop(self, case: str, name: str) -> None:
        """Remove the pictures of an import from a case for good; raises CaseError when there is none to remove."""
        while True:
            now = self._cases.now(case)
            try:
                self._cases.make(case, self._cases.fresh_id(), now.seq, ImagesDropped(name))
            except Stale:
                continue
            break
        self.store.drop(case, name)

    def close(self) -> None:
        """Stop every import under way."""
        with self._lock:
            jobs = list(self._jobs.values())
        for job in jobs:
            job.stop()


def _whose(imports: tuple[ImageImport, ...]) -> Fingerprint | None:
    """Whose images the case holds already: what any import said of each identifier."""
    if not imports:
        return None
    said = [next((one.patient[i] for one in imports if one.patient[i]), None) for i in range(3)]
    return Fingerprint(said[0], said[1], said[2])
