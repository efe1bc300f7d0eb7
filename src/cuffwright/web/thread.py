"""The thread: the seven places in their order, which of them exist, and what each still lacks."""

from dataclasses import dataclass

PLACES = ("Images", "Tear", "Access", "Repair", "Theatre", "Record", "Follow-up")
"""The places on the running stitch, in the order of the work."""

PRESENT = {
    "Images": "images",
    "Tear": "tear",
    "Access": "access",
    "Repair": "repair",
    "Theatre": "theatre",
    "Record": "record",
    "Follow-up": "followup",
}
"""The places this release has, with their address under a case."""


LOGGED = ("Theatre", "Record")
"""The places in which something is missing, not unknown."""


@dataclass(frozen=True)
class Loop:
    """One place on the thread: its name, its address (None when it comes later), what it lacks, whether it is here."""

    name: str
    href: str | None
    missing: int
    here: bool

    @property
    def words(self) -> str:
        """What a reader hears after the name."""
        if self.href is None:
            return "later"
        if self.missing:
            return f"{self.missing} {'missing' if self.name in LOGGED else 'unknown'}"
        return ""


def thread(key: str, here: str, missing: dict[str, int]) -> list[Loop]:
    """The whole thread of case ``key`` as seen from the place ``here``; ``missing`` counts unknowns by place."""
    return [
        Loop(name, f"/cases/{key}/{PRESENT[name]}" if name in PRESENT else None, missing.get(name, 0), name == here)
        for name in PLACES
    ]
