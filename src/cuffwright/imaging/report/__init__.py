"""Readings as a DICOM structured report (template 1500), for the archive of a hospital.

::

    codes        what each measure, unit and scale class is called in codes
    structured   readings and the headers of their images to one report file
"""
