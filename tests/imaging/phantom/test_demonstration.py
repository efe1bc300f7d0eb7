"""The demonstration measures a tear on written, taken-in images, and its readings lie around the truth."""

from cuffwright.imaging.phantom import demonstration
from cuffwright.imaging.phantom.sections import Protocol


def test_the_tear_of_the_demonstration_is_measured(book, tmp_path, monkeypatch):
    """Width, retraction and thickness within two SD of the truth; each lands in a field of the case."""
    few = {
        "coronal": Protocol(pixels=128, pixel_mm=0.7, count=7),
        "sagittal": Protocol(pixels=128, pixel_mm=0.7, step_mm=3.0, count=8, shifted=12),
    }
    monkeypatch.setattr(demonstration, "PROTOCOL", few)
    found = demonstration.measured_phantom(tmp_path, book, "left")
    assert [r.field for r in found.readings] == ["tear.width_mm", "tear.retraction_mm", "tear.thickness_mm"]
    off = [(r.value - getattr(found.truth, r.guide)) / r.sd for r in found.readings]
    assert max(map(abs, off)) < 2
    assert {r.sop_instance_uid for r in found.readings} <= set(found.pictures)
