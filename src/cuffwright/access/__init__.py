"""Access: from which portal, at which arm position, each anchor and stitch is reached, and how far nerves lie.

Everything is worked out on a canonical right shoulder in the scapula's frame; a left one is mirrored on the way in
and out. Paths are straight; bones are convex blocks, rods and a ball, so a whole table of arm positions is one
call in closed form.
"""
