"""Limbs and pressure stay apart for eyes that see fewer colours, and in print without any."""

import re
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest

pytestmark = pytest.mark.door

FRONT = Path(__file__).parents[2] / "front" / "src"
# Full protanomaly, deuteranomaly, tritanomaly on linear RGB: IEEE Trans Vis Comput Graph 2009, 10.1109/TVCG.2009.113
EYES = {
    "protan": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "deutan": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "tritan": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
    "all colours": np.eye(3).tolist(),
    "no colour": [[0.2126, 0.7152, 0.0722]] * 3,
}
# sRGB to XYZ and to CIELAB under D65: IEC 61966-2-1, ISO/CIE 11664-4
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = np.array([0.95047, 1.0, 1.08883])
SEEN_APART = 10.0
TINTS_APART = 7.0
GREY_APART = 3.0


def lab(colour: str, eye: str) -> np.ndarray:
    """CIELAB of a colour such as #0072b2 as one eye sees it."""
    rgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    xyz = TO_XYZ @ np.clip(np.array(EYES[eye]) @ linear, 0, 1) / WHITE
    f = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def found(file: str, name: str) -> list[str]:
    """The colours of a list in the front end."""
    text = (FRONT / file).read_text("utf-8")
    body = re.search(rf"const {name}[^=]*= \[(.*?)\];", text, re.S)
    assert body
    return re.findall(r"#[0-9A-Fa-f]{6}", body.group(1))


def looks(count: int) -> list[tuple[str, int]]:
    """Hue and line pattern of the first limbs, as the front end deals them out."""
    hues = found("limbs.ts", "HUES")
    return [(hues[i % len(hues)], (i + i // len(hues)) % 4) for i in range(count)]


@pytest.mark.req("REQ-041")
@pytest.mark.parametrize("eye", ["protan", "deutan", "tritan", "all colours"])
def test_limbs_of_one_line_pattern_differ_in_colour_for_every_eye(eye: str) -> None:
    """Among the first sixteen limbs, those drawn with one line pattern are told apart by colour alone."""
    limbs = looks(16)
    assert len(set(limbs)) == 16
    close = [
        (one, other)
        for one, other in combinations(limbs, 2)
        if one[1] == other[1] and np.linalg.norm(lab(one[0], eye) - lab(other[0], eye)) < SEEN_APART
    ]
    assert close == []


@pytest.mark.req("REQ-041")
@pytest.mark.parametrize("eye", list(EYES))
def test_more_pressure_is_darker_for_every_eye(eye: str) -> None:
    """Along the scale of pressure lightness falls all the way, in every eye and in grey."""
    text = (FRONT / "cividis.ts").read_text("utf-8")
    support = re.findall(r"\[0x(\w\w), 0x(\w\w), 0x(\w\w)\]", text)
    lightness = [lab("#" + "".join(parts), eye)[0] for parts in support]
    assert len(lightness) == 10
    assert np.diff(lightness).min() > 2


@pytest.mark.parametrize("eye", list(EYES))
def test_terrain_stays_apart(eye: str) -> None:
    """Bone, cartilage, tendon and wall are told apart by every eye, and in grey."""
    text = (FRONT / "styles" / "paper.css").read_text("utf-8")
    tints = {name: re.search(rf"--{name}: (#\w+);", text).group(1) for name in ("bone", "cartilage", "tendon", "wall")}
    apart = {
        pair: np.linalg.norm(lab(tints[pair[0]], eye) - lab(tints[pair[1]], eye)) for pair in combinations(tints, 2)
    }
    assert min(apart.values()) > (GREY_APART if eye == "no colour" else TINTS_APART)
