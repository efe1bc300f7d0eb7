"""The shoulder of a case as the page draws it: bones, skin and landmarks on the case's own side, sent once."""

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from cuffwright.anatomy.side import from_canonical
from cuffwright.anatomy.solid import Block, Rod
from cuffwright.case.identity import Side
from cuffwright.course.access import Ready
from cuffwright.web.access_mesh import Mesh, block, humerus, skin

LANDMARKS = {
    "acromion anterolateral corner": "anterolateral corner",
    "acromion posterolateral corner": "posterolateral corner",
    "coracoid tip": "coracoid tip",
}
"""The landmarks the marking pen measures from, and what they are called on the skin map."""


def places(points: ArrayLike, side: Side) -> list[Any]:
    """Points (..., 3) of the scapula or humerus frame on the case's side, rounded to 0.1 mm."""
    return [
        [round(float(x), 1) + 0.0 for x in point] for point in from_canonical(points, side, "scapula").reshape(-1, 3)
    ]


def scene_view(asked: Ready) -> dict[str, Any]:
    """Everything that stays while the arm moves; bones of the arm in the humerus frame, the others in the scapula's."""
    shoulder, side = asked.scene.shoulder, asked.side
    solids = shoulder.solids
    acromion = shoulder.acromion
    marks = {words: places(shoulder.landmarks[name], side)[0] for name, words in LANDMARKS.items()}
    edge = np.array([acromion.edge(share) for share in np.linspace(0, 1, 13)])
    return {
        "side": side,
        "arm": {name: mesh_view(mesh, side) for name, mesh in humerus(shoulder).items()},
        "blocks": [{"name": one.name, **mesh_view(block(one), side)} for one in solids if isinstance(one, Block)],
        "rods": [
            {"name": one.name, "ends": places([one.start, one.end], side), "radius": round(one.radius, 1)}
            for one in solids
            if isinstance(one, Rod)
        ],
        "skin": mesh_view(skin(shoulder), side),
        "outline": places(acromion.outline, side),
        "edge": places(edge, side),
        "landmarks": marks,
        "body": turn(shoulder.body, side),
        "head": places(shoulder.head, side)[0],
    }


def mesh_view(mesh: Mesh, side: Side) -> dict[str, Any]:
    """A mesh as flat lists; the mirror image of a left side is counted round the other way."""
    triangles = mesh.triangles if side == "right" else mesh.triangles[:, ::-1]
    points = from_canonical(mesh.vertices, side, "scapula")
    return {"points": (points.round(1) + 0.0).ravel().tolist(), "triangles": triangles.ravel().tolist()}


def turn(matrix: ArrayLike, side: Side) -> list[float]:
    """A turn (3, 3) between canonical frames as one between those of the side, row by row."""
    mirror = np.diag(from_canonical(np.ones(3), side, "scapula"))
    return [round(float(x), 5) + 0.0 for x in (mirror @ np.asarray(matrix) @ mirror).ravel()]
