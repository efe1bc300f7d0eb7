"""One analytic proximal humerus and the chart of the cuff's footprint on it.

Everything is computed on a canonical RIGHT shoulder; a left one is reflected on the way in and out
(:mod:`cuffwright.anatomy.side`). Read :mod:`~cuffwright.anatomy.humerus` for the bone and its axes,
:mod:`~cuffwright.anatomy.chart` for the map (u, v, z), :mod:`~cuffwright.anatomy.scale` for a measured shoulder.

What the surface is made of: the head sphere; the articular margin, a circle about the head axis; the footprint
strip, a gently convex arc in every plane through the head axis; a rounded corner; the lateral wall, where the
bone stands upright. The place of the tuberosity's outer edge in the head plane is fixed by published measures,
its course further back follows the published facets as far as these do not lead into the head's sphere.
"""
