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
    if moved:
        waiting = [one for some in moved.values() for one in some]
        ways = "; ".join(f"at {words}: {', '.join(map(_way, some))}" for words, some in moved.items())
        told = f"Not in reach with the arm at {waiting[0].standing.words}, only {ways}."
        yield Caution("reach-needs-arm", told, ",".join(one.site for one in waiting), "note")


def _way(one: SiteReach) -> str:
    return f"{_kind(one)} {one.site} from {one.portal}"


def _kind(one: SiteReach) -> str:
    return "limb" if one.kind == "hole" else "anchor"
