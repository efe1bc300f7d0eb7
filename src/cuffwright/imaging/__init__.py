"""From a picture on disk to a length in millimetres, or to a sentence saying why there is none.

::

    header          one DICOM file opened safely, its elements read leniently
    scale           what a pixel is worth, in which plane, and how that is known
    slice_plane     pixel to patient coordinates (left, posterior, head)
    picture         the frozen description of one image or frame
    pixels          stored values out of the file; fragile decoders run apart
    window          stored value to modality value to grey level
    ruler           two points to a length with its spread
    calibration     magnification, and scale from an object of known size
    head_circle     the humeral head as a circle, from rough marks
    identity        right patient, right side, before anything is stripped
    samples         the packaged pictures of the demonstration
    intake/         folders, zip files and discs to series by place
    privacy/        files stripped by the standard's basic profile
    measures/       guided measures, one file each
    outline/        the torn edge from slices onto the chart
    report/         readings as a structured report
    phantom/        an invented shoulder as images, and a reader of it

Nothing here guesses: an image that carries no spacing in the patient's plane gives no length.
"""

import sys

# one decoder's start-up imports a module called dl when it finds one, and a folder of that name in the working
# directory is taken for it; an empty place in the table makes that import fail as it does everywhere else
sys.modules.setdefault("dl", None)  # type: ignore[arg-type]
