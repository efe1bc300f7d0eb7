"""Arm positions and portal places as the browser may send them."""

from typing import Literal

from pydantic import Field, model_validator

from cuffwright.access.portals import EDGE, NAMES
from cuffwright.case.reach import PortalPlace, Pose
from cuffwright.web.strict import Strict

WIDEST_DEGREES = 180.0
"""Numerical choice: no arm is turned farther."""

HEAVIEST_KG = 20.0
"""Numerical choice: no arm is drawn with more."""

FARTHEST_MM = 120.0
"""Numerical choice: no portal of a shoulder lies farther from its landmark."""


class ArmOrder(Strict):
    """An arm position."""

    abduction_degrees: float = Field(ge=-WIDEST_DEGREES, le=WIDEST_DEGREES)
    flexion_degrees: float = Field(default=0.0, ge=-WIDEST_DEGREES, le=WIDEST_DEGREES)
    rotation_degrees: float = Field(default=0.0, ge=-WIDEST_DEGREES, le=WIDEST_DEGREES)
    traction_kg: float = Field(default=0.0, ge=0.0, le=HEAVIEST_KG)
    place: Literal["beach chair", "lateral decubitus"] = "beach chair"

    @property
    def pose(self) -> Pose:
        """The position as a value."""
        return Pose(**self.model_dump())


class PortalOrder(Strict):
    """A portal and the landmark distances (mm) it is to lie at."""

    name: str = Field(min_length=1, max_length=40)
    along: float | None = Field(default=None, ge=0.0, le=1.0)
    down: float = Field(default=0.0, ge=-FARTHEST_MM, le=FARTHEST_MM)
    beside: float = Field(default=0.0, ge=-FARTHEST_MM, le=FARTHEST_MM)
    medial: float = Field(default=0.0, ge=-FARTHEST_MM, le=FARTHEST_MM)
    behind: float = Field(default=0.0, ge=-FARTHEST_MM, le=FARTHEST_MM)
    error: float = Field(ge=0.0, le=FARTHEST_MM)
    fixed: bool = False

    @model_validator(mode="after")
    def known(self) -> "PortalOrder":
        """Refuse a portal there is not, and one off the edge without its place along it."""
        if self.name not in NAMES:
            raise ValueError(f"there is no portal called {self.name}; the portals are {', '.join(NAMES)}")
        if (self.name in EDGE) == (self.along is None):
            raise ValueError(f"the {self.name} portal is{'' if self.name in EDGE else ' not'} measured along the edge")
        return self

    @property
    def place(self) -> PortalPlace:
        """The place as a value."""
        return PortalPlace(**self.model_dump())


class ScopeOrder(Strict):
    """From which portal an arthroscope of which tilt looks, and in which compartment it stands."""

    portal: str = Field(default="posterior", min_length=1, max_length=40)
    tilt: int = 0
    compartment: Literal["subacromial", "joint"] = "subacromial"

    @model_validator(mode="after")
    def known(self) -> "ScopeOrder":
        """Refuse a portal or an arthroscope there is not."""
        if self.portal not in NAMES:
            raise ValueError(f"there is no portal called {self.portal}; the portals are {', '.join(NAMES)}")
        if self.tilt not in {0, 1}:
            raise ValueError("the arthroscope is 0, the usual one, or 1, the steep one")
        return self


class AccessTrial(Strict):
    """An arm position and perhaps a moved portal to look at without keeping them."""

    pose: ArmOrder
    portal: PortalOrder | None = None
    scope: ScopeOrder = Field(default_factory=lambda: ScopeOrder())
