"""A small writer of SVG drawings measured in millimetres of paper."""

from xml.sax.saxutils import escape, quoteattr

INK = "#1D2228"
GREY = "#56606B"
PAPER = "#FFFFFF"
FONT = "DejaVu Sans Mono, monospace"
ADVANCE = 0.602
"""Width of one character of the drawing font, as a share of its size."""

TEXT_SIZE = 2.7
"""Size of drawing text, mm (7.65 points)."""

Point = tuple[float, float]
Look = dict[str, float | str]


def coordinate(value: float) -> str:
    """A paper coordinate (mm) to a hundredth of a millimetre, the same text on every machine."""
    return f"{round(value, 2) + 0.0:g}"


def path_data(points: list[Point], *, closed: bool = False) -> str:
    """The ``d`` of a path through ``points`` (mm)."""
    steps = [f"{'L' if i else 'M'}{coordinate(x)} {coordinate(y)}" for i, (x, y) in enumerate(points)]
    return "".join(steps) + ("Z" if closed else "")


class Drawing:
    """An SVG sheet of ``width`` x ``height`` mm, filled element by element."""

    def __init__(self, width: float, height: float) -> None:
        self.width = width
        self.height = height
        self._lines: list[str] = []

    def add(self, tag: str, **attributes: float | str) -> None:
        """Add one empty element; ``stroke_width`` becomes ``stroke-width``."""
        self._element(tag, None, attributes)

    def _element(self, tag: str, content: str | None, look: Look) -> None:
        text = "".join(
            f" {name.replace('_', '-')}={quoteattr(value if isinstance(value, str) else coordinate(value))}"
            for name, value in look.items()
        )
        self._lines.append(f"<{tag}{text}/>" if content is None else f"<{tag}{text}>{escape(content)}</{tag}>")

    def line(self, points: list[Point], **attributes: float | str) -> None:
        """Add an open line through ``points`` (mm)."""
        look: Look = {"fill": "none", "stroke": INK, **attributes}
        self._element("path", None, {"d": path_data(points), **look})

    def words(self, x: float, y: float, text: str, **attributes: float | str) -> None:
        """Add text whose middle sits at ``x``, ``y`` (mm) unless ``text_anchor`` says otherwise."""
        look: Look = {"font_size": TEXT_SIZE, "fill": INK, "text_anchor": "middle", "font_family": FONT, **attributes}
        self._element("text", text, {"x": x, "y": y + 0.35 * float(look["font_size"]), **look})

    def open_group(self, **attributes: str) -> None:
        """Open a group; everything added until :meth:`close_group` lies in it."""
        text = "".join(f" {name.replace('_', '-')}={quoteattr(value)}" for name, value in attributes.items())
        self._lines.append(f"<g{text}>")

    def close_group(self) -> None:
        """Close the group opened last."""
        self._lines.append("</g>")

    def clip(self, name: str, x: float, y: float, width: float, height: float) -> None:
        """Define a clipping box called ``name``."""
        box = f'x="{coordinate(x)}" y="{coordinate(y)}" width="{coordinate(width)}" height="{coordinate(height)}"'
        self._lines.append(f'<clipPath id="{name}"><rect {box}/></clipPath>')

    def xml(self) -> str:
        """The drawing as SVG text."""
        w, h = coordinate(self.width), coordinate(self.height)
        head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">'
        return head + "".join(self._lines) + "</svg>"
