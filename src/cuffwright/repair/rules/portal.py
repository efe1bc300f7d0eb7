"""A place that no portal reaches, or only with the arm moved."""

from collections.abc import Iterator

from cuffwright.case.fact import Citing
from cuffwright.case.quantity import Caution
from cuffwright.case.reach import SiteReach
from cuffwright.repair.rules._placed import Placed


def judge(placed: Placed, facts: Citing) -> Iterator[Caution]:
    """Warn at each site reached from nowhere, and say which sites wait for the arm to be moved, and where to."""
    _ = facts
    moved: dict[str, list[SiteReach]] = {}
    for one in placed.reached:
        if one.answer == "no":
            yield Caution(
                "out-of-reach", f"{_kind(one).title()} {one.site} is reached from no portal: {one.reason}.", one.site
            )
        elif one.answer == "moved":
            moved.setdefault(one.pose.words, []).append(one)
    for words, waiting in moved.items():
        sites = ",".join(one.site for one in waiting)
        ways = ", ".join(f"{_kind(one)} {one.site} from {one.portal}" for one in waiting)
        told = f"Only with the arm at {words}, not at {waiting[0].standing.words}: {ways}."
        yield Caution("reach-needs-arm", told, sites, "note")


def _kind(one: SiteReach) -> str:
    return "limb" if one.kind == "hole" else "anchor"
