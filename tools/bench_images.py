"""Take in a thousand slices and turn pages, and print how long it took and how much memory; gates nothing.

``python tools/bench_images.py [--slices N]`` writes N invented CT slices of 512 by 512 pixels into a folder that is
removed again.
"""

import argparse
import json
import resource
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pydicom
from pydicom.uid import generate_uid

SIZE = 512
MB = 1024.0


def write_slices(folder: Path, count: int) -> None:
    """Invented slices 1 mm apart on the header of the packaged CT."""
    source = Path(pydicom.__file__).parent / "data" / "test_files" / "CT_small.dcm"
    dataset = pydicom.dcmread(source)
    rng = np.random.default_rng(1)
    for number in range(count):
        dataset.SOPInstanceUID = generate_uid()
        dataset.file_meta.MediaStorageSOPInstanceUID = dataset.SOPInstanceUID
        dataset.ImagePositionPatient = [-158.1, -179.0, float(number)]
        dataset.Rows = dataset.Columns = SIZE
        dataset.PixelData = rng.integers(0, 2000, (SIZE, SIZE), dtype=np.int16).tobytes()
        dataset.save_as(folder / f"{(number * 7919) % count:05d}.dcm")


def run(count: int) -> dict[str, float]:
    """Seconds for the import, for the first picture and for turning pages, and the peak of memory in MB."""
    from cuffwright.imaging.intake.slices import Slices
    from cuffwright.imaging.intake.taking_in import take_in

    with tempfile.TemporaryDirectory() as name:
        write_slices(Path(name), count)
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MB
        start = time.perf_counter()
        (series,) = take_in(name).series
        taken = time.perf_counter()
        slices = Slices(series)
        slices.shown(count // 2)
        first = time.perf_counter()
        near = range(count // 2 - 20, count // 2 + 20)
        for index in near:
            slices.shown(index)
        cached = []
        for index in (*near, *near):
            began = time.perf_counter()
            slices.shown(index)
            cached.append(time.perf_counter() - began)
    return {
        "slices": count,
        "import_s": round(taken - start, 2),
        "first_picture_s": round(first - taken, 3),
        "cached_slice_ms_worst": round(1000 * max(cached), 2),
        "peak_mb": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / MB),
        "peak_mb_before_import": round(before),
    }


if __name__ == "__main__":
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--slices", type=int, default=1000)
    print(json.dumps(run(options.parse_args().slices), indent=1))
    sys.exit(0)
