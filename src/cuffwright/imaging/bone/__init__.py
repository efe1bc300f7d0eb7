"""Bone from a CT: the proximal humerus as a surface, its head as a sphere, its shaft as an axis, the chart laid on it.

::

    volume        an even stack of slices as one block of values in the patient
    head_rays     the head: rays from a mark inside it to the outer face of its cortex, and the sphere through them
    humerus       the bone apart from the scapula, its shaft's axis, and the whole answer
    surface_net   the border of a block of voxels as a closed mesh
    registering   the chart set onto the bone, and by how much it misses it
"""
