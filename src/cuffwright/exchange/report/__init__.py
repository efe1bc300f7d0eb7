"""The printed report: three pages in PDF, and its footprint map as a drawing of its own."""

from cuffwright.exchange.report.map_drawing import MapDrawing, draw_map, map_svg
from cuffwright.exchange.report.terrain_lines import terrain_lines
from cuffwright.exchange.report.write import write_report

__all__ = ["MapDrawing", "draw_map", "map_svg", "terrain_lines", "write_report"]
