"""The answer about the limbs of one repair: the field, the plan or why there is none, and what it rests on."""

from dataclasses import dataclass

from cuffwright.case.identity import Side
from cuffwright.case.limb_plan import LimbCounts, LimbPlan
from cuffwright.case.limbs import LimbField, LimbState


@dataclass(frozen=True)
class Compared:
    """The order of work as commonly done beside a plan: its moves, and differences.

    ``differences`` holds what for, how often usually, how often in the plan, and why; ``counts`` are those of the usual
    order, ``words`` its moves one by one.
    """

    moves: int
    planned: int
    differences: tuple[tuple[str, int, int, str], ...]
    counts: LimbCounts
    words: tuple[str, ...]


@dataclass(frozen=True)
class LimbAnswer:
    """Everything found about the suture limbs of one repair of one case.

    ``arms`` says the arm position of each anchor and hole by name, in words. ``refused`` says why there is no plan;
    ``compared`` stands where the usual order can be followed on this field.
    """

    case: str
    side: Side
    pattern: str
    portal_set: str
    field: LimbField
    state: LimbState
    arms: tuple[tuple[str, str], ...]
    plan: LimbPlan | None
    refused: str
    compared: Compared | None
    not_computed: tuple[str, ...]
    facts: tuple[str, ...]
    version: str
    edition: str

    def arm(self, site: str) -> str:
        """The arm position for an anchor, tunnel or hole; ``""`` where none is needed."""
        return dict(self.arms).get(site, "")
