"""What the surgeon knows and decides, as frozen typed values: the bottom layer, importing nothing of ours.

Lengths mm, forces N, pressures MPa; a field that holds a measured quantity carries its unit in its name.
"""
