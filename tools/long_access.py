"""Long checks of access: the whole grid of tears and patterns, a large virtual population, real bones, other rays.

``python tools/long_access.py --mask MASK --out docs/long/access.json``; it exits 1 when anything broke. The labels of
the chest CT and embreex come with ``make long-access``; without them those two parts say what they lack.
"""

import argparse
import json
import platform
import subprocess
import sys
import time
from collections import Counter
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np

ROOT = Path(__file__).resolve().parent.parent
ABDUCTIONS = (0.0, 15.0, 30.0)
LIFTED = (0.0, 30.0, 60.0, 90.0)
BANDS = {
    "lateral": "check.portal.lateral.axillary",
    "superomedial": "check.portal.superomedial.suprascapular",
    "anterior": "check.portal.anterior.musculocutaneous",
    "posterior": "check.portal.posterior.suprascapular",
}


def whole_grid(every: int) -> dict[str, Any]:
    """Every tear, side, footprint and pattern through the reach table; what ran, what was refused and why."""
    from cuffwright.evidence.book import load_book
    from tests.access.reach_grid import grid, reached

    book, ran, refused, broken = load_book(), Counter(), Counter(), []
    lost: Counter[str] = Counter()
    trials = grid()[::every]
    for case, sheet, pattern in trials:
        try:
            found, reason = reached(sheet, book, pattern)
        except Exception as wrong:
            broken.append(f"{pattern} on {case}: {type(wrong).__name__}: {wrong}")
            continue
        if found is None:
            refused[f"{pattern}: {reason.split(': ', 1)[-1]}"] += 1
            continue
        ran[pattern] += 1
        if found.somewhere < found.sites:
            lost[pattern] += 1
    return {
        "trials": len(trials),
        "ran": dict(ran),
        "refused": sum(refused.values()),
        "reasons": dict(refused),
        "some_site_out_of_reach": dict(lost),
        "broken": broken,
    }


def population(count: int) -> dict[str, Any]:
    """Medians over many drawn shoulders: nerve distances, nerve with abduction, steepening of the mid lateral path."""
    from cuffwright.access.margins import Asked, margin
    from cuffwright.access.paths import find_paths
    from cuffwright.access.portals import default_places, skin_point
    from cuffwright.access.posing import stand
    from cuffwright.access.sites import Site, Tools, place_sites
    from cuffwright.anatomy.humerus import HumerusShape
    from cuffwright.anatomy.measures import Population
    from cuffwright.anatomy.shoulder import ShoulderForms, build_shoulder
    from cuffwright.case.errors import CaseError
    from cuffwright.case.fact import Citing
    from cuffwright.case.reach import Pose
    from cuffwright.evidence.book import load_book

    book = Citing(load_book())
    people, forms, base = Population.from_facts(book), ShoulderForms.from_facts(book), HumerusShape.from_facts(book)
    tools, deep = Tools.from_facts(book), book.number("skin.supraspinatus")
    places = {place.name: place for place in default_places(book)}
    site = (Site("M", "medial anchor", 11.0, 2.0, 0.0, 4.5, bed=15.0),)
    rng, distances, lifted, angles = np.random.default_rng(7), [], [], []
    while len(distances) < count:
        try:
            shoulder = build_shoulder(people.draw(rng), forms, base)
            skins = {name: skin_point(places[name], shoulder, deep) for name in places}
            spots = place_sites(site, shoulder.chart)
        except CaseError:
            continue
        told = Asked(Pose(0.0), 1.0)
        distances.append([margin(shoulder, places[name], skins[name], told) for name in BANDS])
        edge = places["anterolateral"]
        lifted.append([margin(shoulder, edge, skins["anterolateral"], Asked(Pose(a), 1.0)) + edge.down for a in LIFTED])
        stance = stand(shoulder, tuple(Pose(a) for a in ABDUCTIONS), 0.0)
        stab = skins["accessory superolateral"][None]
        angles.append(find_paths(shoulder, site, spots, stab, stance, tools).angle[:, 0, 0])
    rows = {name: book.fact(key) for name, key in BANDS.items()}
    middles = dict(zip(BANDS, np.median(distances, axis=0), strict=True))
    return {
        "shoulders": count,
        "portal_to_nerve_mm": {
            name: {
                "ours": round(float(middles[name]), 1),
                "published": rows[name].value,
                "band": [rows[name].low, rows[name].high],
                "inside": bool(rows[name].low <= middles[name] <= rows[name].high),
            }
            for name in BANDS
        },
        "edge_to_axillary_mm_at_0_30_60_90": np.round(np.median(lifted, axis=0), 1).tolist(),
        "mid_lateral_path_steeper_per_15_degrees": np.round(np.median(np.diff(angles, axis=1), axis=0), 1).tolist(),
    }


def commit() -> str:
    """The commit the tree stands on."""
    done = subprocess.run(["git", "rev-parse", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False)
    return done.stdout.strip() or "no repository"


def main() -> int:
    """Read the options, run every part, write, and say how it went."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--every", type=int, default=1, help="take only every n-th trial of the grid")
    options.add_argument("--shoulders", type=int, default=2000)
    options.add_argument("--mask", type=Path, help="label image of the chest CT")
    options.add_argument("--out", type=Path)
    given = options.parse_args()
    sys.path[:0] = [str(ROOT), str(ROOT / "tools")]
    import labelled_bones
    import ray_check

    began = time.perf_counter()
    lacking = "not computed, needs make long-access"
    found = {
        "commit": commit(),
        "machine": f"{platform.system()} {platform.machine()}, Python {platform.python_version()}",
        "seeds": {"population": 7, "rays": 2, "vault": 3, "head": 1},
        "grid": whole_grid(given.every),
        "population": population(given.shoulders),
        "labelled_ct": labelled_bones.compare(given.mask) if given.mask and given.mask.exists() else lacking,
        "rays": ray_check.compare() if find_spec("embreex") else lacking,
    }
    found["seconds"] = round(time.perf_counter() - began)
    told = json.dumps(found, indent=1, sort_keys=True)
    if given.out:
        given.out.parent.mkdir(parents=True, exist_ok=True)
        given.out.write_text(told + "\n", encoding="utf-8")
    print(told)
    return 1 if found["grid"]["broken"] else 0


if __name__ == "__main__":
    sys.exit(main())
