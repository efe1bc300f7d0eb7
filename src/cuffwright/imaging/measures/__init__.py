"""Guided measures: for each one file with where to click, the formula, and what it cannot know.

::

    guide       what a measure is made of: marks, view, formula, field of the case it fills
    drawings    small drawings of the views, on which the marks are shown
    planar      distances, angles, outlines in the plane of a picture
    scene       the marks of one round on one picture, in pixels and in the picture's own units
    reading     rounds of clicks to a value with its spread and its trace
    beside      a warning when the distance to the neighbouring slices is not known
    landing     a reading into the field of the case it fills
    edge        an outline drawn along the strongest edge between clicks
    all_guides  every guide by name
    ...         one file for each measure
"""
