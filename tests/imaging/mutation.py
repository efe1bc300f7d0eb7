"""Real images with bytes changed, cut out, doubled or moved: what comes back is a picture or a reason, and soon."""

import hashlib
import random
import time
from dataclasses import dataclass, replace
from pathlib import Path

from cuffwright.case.errors import ImageError
from cuffwright.imaging.intake.taking_in import SetAside, take_in
from cuffwright.imaging.picture import read_stored

LARGEST = 400_000


@dataclass(frozen=True)
class Ended:
    """How one mutated file ended: as a picture, refused with words, or broken; and how long it took (s)."""

    how: str
    words: str
    seconds: float


def originals(folders: tuple[Path, ...]) -> list[Path]:
    """The packaged files small enough to be changed many times, each content once."""
    found: dict[str, Path] = {}
    for folder in folders:
        for place in sorted(p for p in folder.rglob("*") if p.is_file() and p.stat().st_size <= LARGEST):
            content = place.read_bytes()
            if content[128:132] == b"DICM":
                found.setdefault(hashlib.sha256(content).hexdigest(), place)
    return list(found.values())


def mutated(content: bytes, chance: random.Random) -> bytes:
    """The bytes with one to eight changes, most of them in the header."""
    out = bytearray(content)
    for _ in range(chance.randint(1, 8)):
        top = len(out) if chance.random() < 0.3 else min(len(out), 4000)
        at = chance.randrange(132, max(top, 133))
        kind = chance.randrange(6)
        if kind == 0:
            out[at : at + 1] = bytes([chance.randrange(256)])
        elif kind == 1:
            del out[at : at + chance.randint(1, 64)]
        elif kind == 2:
            out[at:at] = out[at : at + chance.randint(1, 64)]
        elif kind == 3:
            out[at : at + 4] = chance.choice([b"\xff\xff\xff\xff", b"\x00\x00\x00\x00", b"\xff\xff\xff\x7f"])
        elif kind == 4:
            del out[chance.randrange(132, max(len(out), 133)) :]
        else:
            out[at : at + 2] = chance.choice([b"SQ", b"UN", b"OB", b"IS", b"DS", b"\xfe\xff"])
    return bytes(out)


def tried(place: Path, decode: bool) -> Ended:
    """Take one file in, and decode its first frame when asked."""
    start = time.perf_counter()
    try:
        found = take_in([place])
        if found.set_aside:
            (aside,) = found.set_aside
            how, words = ("refused", aside.reason) if isinstance(aside, SetAside) else ("broken", "")
            if "Error)" in words or "Exception)" in words:
                how = "unforeseen"
        else:
            how, words = "picture", ""
            if decode:
                read_stored(found.pictures[0])
    except ImageError as refusal:
        how, words = "refused", str(refusal)
    return Ended(how, words, time.perf_counter() - start)


def tried_twice(place: Path, decode: bool, limit_s: float) -> Ended:
    """As :func:`tried`; a file that takes longer than the limit is tried again, and the shorter time counts.

    What hangs hangs again; a file that only waited for a busy machine seldom does so twice.
    """
    end = tried(place, decode)
    if end.seconds < limit_s:
        return end
    return replace(end, seconds=min(end.seconds, tried(place, decode).seconds))
