"""The patient's tear on the chart: the humerus set into the patient, and outlines on slices lofted onto its map.

::

    pose     how the humerus lies in the patient, from three things marked on the images
    loft     the ends of the tear on consecutive slices as one outline on the chart, with its band
"""
