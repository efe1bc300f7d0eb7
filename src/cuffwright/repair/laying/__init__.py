"""Placements that repair patterns share: rows of anchors, stitches, bridges, tunnels, closed clefts."""
