"""The shelf under the map: repairs of one shoulder kept by name, to be compared and taken down again."""

from dataclasses import dataclass

from cuffwright.case.errors import CaseError
from cuffwright.case.layout import Layout
from cuffwright.case.sheet import CaseSheet

ROOM = 4
"""Numerical choice: as many versions as can be read side by side."""


@dataclass(frozen=True)
class Version:
    """A repair kept under a name, and the sheet it was laid on (None when that is not known)."""

    name: str
    layout: Layout
    laid_on: CaseSheet | None = None


@dataclass(frozen=True)
class EditLayout:
    """Let this repair stand; ``words`` say what was done to the one before it."""

    layout: Layout
    words: str


@dataclass(frozen=True)
class LayoutEdited:
    """The repair came to stand so."""

    layout: Layout
    words: str


@dataclass(frozen=True)
class KeepVersion:
    """Put the repair that stands on the shelf under ``name``."""

    name: str


@dataclass(frozen=True)
class DropVersion:
    """Take the version called ``name`` off the shelf."""

    name: str


@dataclass(frozen=True)
class TakeVersion:
    """Let the version called ``name`` stand again."""

    name: str


@dataclass(frozen=True)
class VersionKept:
    """A repair was put on the shelf."""

    version: Version


@dataclass(frozen=True)
class VersionDropped:
    """The version of this name was taken off the shelf."""

    name: str


def kept(shelf: tuple[Version, ...], version: Version) -> tuple[Version, ...]:
    """The shelf with one more version; raises CaseError when it is full or the name is taken."""
    if any(one.name == version.name for one in shelf):
        raise CaseError(f"there is a version called {version.name} on the shelf; choose another name")
    if len(shelf) >= ROOM:
        raise CaseError(f"the shelf holds {ROOM} versions, as many as can be compared; take one off first")
    return (*shelf, version)


def dropped(shelf: tuple[Version, ...], name: str) -> tuple[Version, ...]:
    """The shelf without the version called ``name``; raises CaseError when there is none."""
    found(shelf, name)
    return tuple(one for one in shelf if one.name != name)


def found(shelf: tuple[Version, ...], name: str) -> Version:
    """The version called ``name``; raises CaseError when there is none."""
    for one in shelf:
        if one.name == name:
            return one
    raise CaseError(f"there is no version called {name} on the shelf; it may have been taken off in another window")
