"""One import under way: files laid down, read, compared with the case, stripped, kept; stopped at any time."""

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from cuffwright.case.errors import ImageError
from cuffwright.case.identity import Side
from cuffwright.case.image_reading import ImageImport
from cuffwright.imaging.fingerprint import Fingerprint
from cuffwright.imaging.intake.finding import dropped
from cuffwright.imaging.intake.right import Admission, admit
from cuffwright.imaging.intake.taking_in import Intake, SetAside, take_in
from cuffwright.imaging.picture import Picture
from cuffwright.imaging.privacy.stripping import Stripper
from cuffwright.imaging.privacy.whole import strip_each
from cuffwright.web.images_index import pictures_in
from cuffwright.web.images_store import ImageStore

State = Literal["filling", "reading", "asking", "stripping", "done", "refused", "stopped"]

STOPPED = "the import was stopped; nothing of it is kept"


@dataclass(frozen=True)
class Wanted:
    """What is imported into: the case, its side, whose images it holds already, its secrets."""

    case: str
    side: Side
    expected: Fingerprint | None
    salt: bytes
    key: bytes


@dataclass
class Import:
    """An import under way. ``done`` of ``count`` files are through in the present state; ``words`` say why it ended."""

    name: str
    wanted: Wanted
    store: ImageStore
    state: State = "filling"
    done: int = 0
    count: int = 0
    words: str = ""
    asks: tuple[str, ...] = ()
    aside: list[SetAside] = field(default_factory=list)
    notes: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        self._files: list[tuple[Path, str]] = []
        self._intake: Intake | None = None
        self._stop = threading.Event()
        self._lock = threading.Lock()

    def lay(self, name: str) -> Path:
        """A place on disk for a file the user calls ``name``; the name itself is never written to disk."""
        with self._lock:
            if self.state != "filling":
                raise ImageError("this import takes no more files; begin another")
            place = self.store.incoming(self.name) / f"{len(self._files):06d}"
            self._files.append((place, name))
            self.count = len(self._files)
        return place

    def begin(self) -> None:
        """Read what was laid down, in a thread, and compare it with the case; then a person is asked."""
        self._move("filling", "reading")
        threading.Thread(target=self._run, args=(self._read,), daemon=True).start()

    def answer(
        self,
        confirmed: tuple[str, ...],
        marker: Side | None,
        keep_more: bool,
        link: bool,
        keep: Callable[["Import", ImageImport], None],
    ) -> None:
        """Go on with a person's answers to what the files do not say."""
        if self.state != "asking" or self._intake is None:
            raise ImageError("this import asks nothing now; look at its state again")
        admission = self._compared(confirmed, marker)
        if admission.refusals:
            self._end("refused", f"the import is refused: {'; '.join(admission.refusals)}")
            return
        if admission.asks:
            raise ImageError(f"the import still waits for an answer: {admission.asks[0]}")
        self._move("asking", "stripping")
        run = lambda: self._strip(admission, keep_more, link, keep)  # noqa: E731
        threading.Thread(target=self._run, args=(run,), daemon=True).start()

    def stop(self) -> None:
        """Stop it unless it has ended; what was laid down is removed."""
        self._stop.set()
        if self.state in {"filling", "asking"}:
            self._end("stopped", STOPPED)

    def _run(self, job: Callable[[], None]) -> None:
        try:
            job()
        except ImageError as wrong:
            self._end("stopped" if self._stop.is_set() else "refused", str(wrong))
        except Exception:
            self._end("refused", "the import broke off and nothing of it is kept; look into the server's log")
            raise

    def _read(self) -> None:
        unpack = self.store.incoming(self.name) / "unpacked"
        unpack.mkdir()

        def go_on(done: int, count: int) -> bool:
            self.done, self.count = done, count
            return not self._stop.is_set()

        found = take_in(dropped(self._files, unpack), salt=self.wanted.salt, go_on=go_on)
        self._intake, self.aside, self.notes = found, list(found.set_aside), found.notes
        if not found.pictures:
            raise ImageError("no file of the import gives a picture; the reasons are listed")
        admission = self._compared((), None)
        if admission.refusals:
            raise ImageError(f"the import is refused: {'; '.join(admission.refusals)}")
        # the choices of what is kept are made before anything is stripped, so a person is always asked
        self.asks = admission.asks
        self._move("reading", "asking")

    def _compared(self, confirmed: tuple[str, ...], marker: Side | None) -> Admission:
        pictures = self._intake.pictures if self._intake else ()
        wanted = self.wanted
        return admit(pictures, wanted.side, wanted.expected, marker=marker, confirmed=confirmed)

    def _strip(
        self, admission: Admission, keep_more: bool, link: bool, keep: Callable[["Import", ImageImport], None]
    ) -> None:
        if self._intake is None:
            raise ImageError("nothing was read; begin the import again")
        pictures = self._intake.pictures
        stripper = Stripper(self.wanted.key, keep_characteristics=keep_more, keep_link=link)
        folder = self.store.kept(self.wanted.case, self.name)
        self.done, self.count = 0, len({picture.path for picture in pictures})
        seen: dict[str, None] = {}
        for written in strip_each(pictures, admission, folder, stripper):
            self.done += 1
            if isinstance(written, SetAside):
                self.aside.append(written)
            else:
                seen.update(dict.fromkeys(written.warnings))
            if self._stop.is_set():
                raise ImageError(STOPPED)
        self.warnings = tuple(seen)
        pictures_in(folder)
        studies = {picture.study_uid for picture in pictures}
        links = tuple((new, old) for new, old in stripper.link.items() if old in studies)
        keep(self, self._told(pictures, admission.confirmed, links))
        self._end("done", f"{len(pictures)} picture{'' if len(pictures) == 1 else 's'} taken in")

    def _told(
        self, pictures: tuple[Picture, ...], confirmed: tuple[str, ...], link: tuple[tuple[str, str], ...]
    ) -> ImageImport:
        first = [next((v for p in pictures if (v := getattr(p.patient, n))), None) for n in IDENTIFIERS]
        return ImageImport(
            id=self.name,
            files=self.count,
            pictures=len(pictures),
            salt=self.wanted.salt.hex(),
            key=self.wanted.key.hex(),
            patient=(first[0], first[1], first[2]),
            confirmed=confirmed,
            aside=tuple(nameless(one, number) for number, one in enumerate(self.aside, start=1)),
            link=link,
        )

    def _move(self, before: State, after: State) -> None:
        with self._lock:
            if self.state != before:
                raise ImageError("the import has moved on meanwhile; look at its state again")
            self.state, self.done = after, 0

    def _end(self, state: State, words: str) -> None:
        self.store.forget(self.name)
        if state != "done":
            self.store.drop(self.wanted.case, self.name)
        with self._lock:
            self.state, self.words, self._intake = state, words, None


IDENTIFIERS = ("name", "identifier", "birth_date")
"""The parts of a fingerprint, in the order they are kept."""


def nameless(one: SetAside, number: int) -> str:
    """The reason without the file's name, which may name the patient."""
    reason = one.reason.replace(one.name, f"file {number}")
    return reason if reason.startswith("file ") else f"file {number}: {reason}"
