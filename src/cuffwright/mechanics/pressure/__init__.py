"""Pressure of the tendon on its footprint, from the limbs that press it there.

Each rope over the tendon is a string on an elastic layer; the layer carries its line load down to the bone.

::

    material.py    the layer's moduli, from facts
    layer.py       transfer functions of the layer for one wave vector
    table.py       the same, tabulated once per material and kept in memory
    parameters.py  sensor threshold, calibrated scales, rope width, from facts
    span.py        one stretch of rope on top of the tendon
    stitches.py    a layout's stitches as spans
    field.py       the finite tendon as a cosine series on a grid
    indentation.py how deep the tendon sinks at one rope point per newton at another
    shelf.py       what is kept between maps
    rope.py        line load of all ropes together, with lift-off of the rope
    liftoff.py     base pressure with lift-off of the tendon
    footprint.py   the window the results are read in
    contact.py     the map itself, and the whole calculation
    outcome.py     clamp pressure, and what removing a limb costs
"""
