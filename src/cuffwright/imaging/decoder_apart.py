"""Decode one frame in a process of its own: damaged streams abort some decoders instead of raising.

Run by :mod:`cuffwright.imaging.pixels` as a script, with the file and the frame index as arguments; writes one
array in numpy's file format to the standard output and nothing else. It imports nothing of this package.
"""

import io
import os
import sys
import warnings

import numpy as np


def main(path: str, frame: int) -> None:
    """Write the stored values of frame ``frame`` (from 0) of ``path`` to the standard output."""
    # decoders print to both streams, so the real output is kept aside and both are turned away
    answer = os.fdopen(os.dup(1), "wb")
    silence = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silence, 1)
    os.dup2(silence, 2)
    warnings.simplefilter("ignore")
    import pydicom
    from pydicom.pixels.utils import pixel_array

    values = pixel_array(pydicom.dcmread(path, force=True), index=frame)
    block = io.BytesIO()
    np.save(block, values, allow_pickle=False)
    answer.write(block.getvalue())
    answer.close()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
