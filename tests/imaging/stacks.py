"""Stacks of small real-format slices written for a test: CT_small of the package pydicom, moved and renamed."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pydicom
from pydicom.uid import generate_uid

TEST_FILES = Path(pydicom.__file__).parent / "data" / "test_files"


def write_stack(folder: Path, heights: Sequence[float], series: str = "1.2.3.4", **changes: Any) -> list[Path]:
    """One file per height (mm along the head axis), names in an order that says nothing of the place."""
    folder.mkdir(parents=True, exist_ok=True)
    dataset = pydicom.dcmread(TEST_FILES / "CT_small.dcm")
    written = []
    for number, height in enumerate(heights):
        dataset.SOPInstanceUID = generate_uid(entropy_srcs=[series, str(number), str(height)])
        dataset.file_meta.MediaStorageSOPInstanceUID = dataset.SOPInstanceUID
        dataset.SeriesInstanceUID = series
        dataset.ImagePositionPatient = [-158.135803, -179.035797, height]
        dataset.InstanceNumber = len(heights) - number
        dataset.SliceThickness = abs(heights[1] - heights[0]) if len(heights) > 1 else 5.0
        for keyword, value in changes.items():
            setattr(dataset, keyword, value)
        place = folder / f"image{(number * 7919) % 1000:03d}_{number}"
        dataset.save_as(place)
        written.append(place)
    return written
