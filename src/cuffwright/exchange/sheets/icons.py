"""An array of people drawn as circles: filled, with a dot, or empty; told apart without colour."""

from cuffwright.case.sheets import Icons
from cuffwright.exchange.report.svg import INK, PAPER, Drawing

ROW = 20
STEP = 4.4
RADIUS = 1.6


def icon_drawing(icons: Icons) -> str:
    """The array as SVG, 20 people to a row."""
    rows = (icons.of + ROW - 1) // ROW
    drawing = Drawing(ROW * STEP, rows * STEP)
    for place in range(icons.of):
        x, y = (place % ROW + 0.5) * STEP, (place // ROW + 0.5) * STEP
        sure, maybe = place < icons.sure, place < icons.up_to
        drawing.add("circle", cx=x, cy=y, r=RADIUS, fill=INK if sure else PAPER, stroke=INK, stroke_width=0.3)
        if maybe and not sure:
            drawing.add("circle", cx=x, cy=y, r=RADIUS / 2, fill=INK)
    return drawing.xml()


def legend(icons: Icons) -> str:
    """What the circles mean."""
    if icons.sure == icons.up_to:
        return f"Each circle is one person. Filled: {icons.sure} of {icons.of}."
    return f"Each circle is one person. Filled: {icons.sure} in all groups. With a dot: up to {icons.up_to} in some."
