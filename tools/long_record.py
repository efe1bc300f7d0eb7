"""Write the outcome of a long check with what it covers, and say which outcomes are older than the code they cover."""

import hashlib
import json
import os
import platform
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
KEPT = ROOT / "docs" / "long"


def digest(covers: Iterable[str]) -> str:
    """One name for the present content of all files under the covered folders and files."""
    found = hashlib.sha256()
    for part in sorted(covers):
        place = ROOT / part
        files = (
            sorted(p for p in place.rglob("*") if p.suffix in {".py", ".csv", ".toml"}) if place.is_dir() else [place]
        )
        for file in files:
            found.update(file.relative_to(ROOT).as_posix().encode() + b"\0" + file.read_bytes())
    return found.hexdigest()[:16]


def write_record(name: str, covers: Iterable[str], found: dict[str, Any], seed: int | None = None) -> Path:
    """Keep ``found`` as ``docs/long/<name>.json`` with commit, machine, seed and the digest of what it covers."""
    commit = subprocess.run(["git", "rev-parse", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False)
    python = platform.python_version()
    told = {
        "check": name,
        "commit": commit.stdout.strip(),
        "machine": f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, Python {python}",
        "seed": seed,
        "covers": sorted(covers),
        "digest": digest(covers),
        "result": found,
    }
    KEPT.mkdir(parents=True, exist_ok=True)
    place = KEPT / f"{name}.json"
    place.write_text(json.dumps(told, indent=1, sort_keys=True) + "\n", encoding="utf-8")
    return place


def older() -> list[str]:
    """A line for each kept outcome whose covered code has changed since."""
    lines = []
    for place in sorted(KEPT.glob("*.json")):
        told = json.loads(place.read_text("utf-8"))
        if "digest" in told and digest(told["covers"]) != told["digest"]:
            lines.append(f"docs/long/{place.name} is older than the code it covers; run make long-{told['check']}")
    return lines


if __name__ == "__main__":
    print("\n".join(older()) or "every long check is as new as the code it covers")
    sys.exit(0)
