"""Files handed to the import of the page, as a browser does it, and what comes of them."""

import time
from pathlib import Path
from typing import Any

from tests.web.door import Door


def lay(door: Door, key: str, files: dict[str, bytes]) -> str:
    """Begin an import, lay files down and have them read; returns its address."""
    base = f"/api/cases/{key}/images/imports"
    path = f"{base}/{door.post(base).json()['name']}"
    for name, body in files.items():
        assert door.post(f"{path}/files", content=body, headers={"X-Name": name}).status_code == 201
    assert door.post(f"{path}/read").status_code == 200
    return path


def waited(door: Door, path: str) -> dict[str, Any]:
    """The import once it asks or has ended."""
    while (said := door.get(path).json())["state"] in {"reading", "stripping"}:
        time.sleep(0.01)
    return dict(said)


def take(door: Door, key: str, files: dict[str, bytes], **answers: Any) -> dict[str, Any]:
    """Take files into a case, every question answered with yes."""
    path = lay(door, key, files)
    said = waited(door, path)
    if said["state"] != "asking":
        return said
    assert door.post(f"{path}/answer", json={"confirmed": said["asks"], **answers}).status_code == 200
    return waited(door, path)


def read(*files: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in files}


def held(data: Path, key: str) -> list[Path]:
    return sorted((data / "images" / key).rglob("*.dcm"))
