"""Every guided measure by name, and which of them a picture or a series allows."""

from cuffwright.case.errors import ImageError
from cuffwright.imaging.measures.acromial_index import ACROMIAL_INDEX
from cuffwright.imaging.measures.acromiohumeral_interval import ACROMIOHUMERAL_INTERVAL
from cuffwright.imaging.measures.bone_density import BONE_DENSITY
from cuffwright.imaging.measures.cortical_thickness import CORTICAL_THICKNESS
from cuffwright.imaging.measures.critical_shoulder_angle import CRITICAL_SHOULDER_ANGLE
from cuffwright.imaging.measures.deltoid_tuberosity_index import DELTOID_TUBEROSITY_INDEX
from cuffwright.imaging.measures.fat_fraction import FAT_FRACTION
from cuffwright.imaging.measures.footprint_ap import FOOTPRINT_AP
from cuffwright.imaging.measures.footprint_ml import FOOTPRINT_ML
from cuffwright.imaging.measures.guide import Guide
from cuffwright.imaging.measures.head_radius import HEAD_RADIUS
from cuffwright.imaging.measures.lateral_acromial_angle import LATERAL_ACROMIAL_ANGLE
from cuffwright.imaging.measures.occupation_ratio import OCCUPATION_RATIO
from cuffwright.imaging.measures.retraction import RETRACTION
from cuffwright.imaging.measures.tangent_sign import TANGENT_SIGN
from cuffwright.imaging.measures.tear_width import TEAR_WIDTH
from cuffwright.imaging.measures.tendon_thickness import TENDON_THICKNESS
from cuffwright.imaging.measures.tuberosity import TUBEROSITY
from cuffwright.imaging.measures.tuberosity_cortex import TUBEROSITY_CORTEX
from cuffwright.imaging.scale import Plane

GUIDES: dict[str, Guide] = {
    guide.name: guide
    for guide in (
        TEAR_WIDTH,
        RETRACTION,
        TENDON_THICKNESS,
        FOOTPRINT_AP,
        FOOTPRINT_ML,
        HEAD_RADIUS,
        TUBEROSITY,
        OCCUPATION_RATIO,
        TANGENT_SIGN,
        FAT_FRACTION,
        CRITICAL_SHOULDER_ANGLE,
        ACROMIAL_INDEX,
        LATERAL_ACROMIAL_ANGLE,
        ACROMIOHUMERAL_INTERVAL,
        DELTOID_TUBEROSITY_INDEX,
        CORTICAL_THICKNESS,
        TUBEROSITY_CORTEX,
        BONE_DENSITY,
    )
}
"""Every guide, in the order of the case sheet."""


def guide(name: str) -> Guide:
    """The guide of that name.

    Raises
    ------
    ImageError
        When there is none.
    """
    if name not in GUIDES:
        raise ImageError(f"there is no measure called {name}; choose one of {', '.join(GUIDES)}")
    return GUIDES[name]


def possible(modality: str, plane: Plane) -> tuple[str, ...]:
    """The measures that a picture of this kind and scale class allows, by name."""
    return tuple(one.name for one in GUIDES.values() if one.allows(modality, plane))
