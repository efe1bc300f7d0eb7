"""From a folder, a zip file or a media index to series in the order of their place in the patient.

::

    finding     the files: folder, zip, DICOMDIR or a list, one after the other
    taking_in   each file read or set aside with a reason; progress and stopping
    stack       slices of one orientation in order of place, and what is odd about their spacing
    series      series built from pictures by geometry, never by file name
    slices      slices by index as eight-bit levels, kept ready for turning pages
    right       right patient and side over the whole import, before anything is stripped
"""
