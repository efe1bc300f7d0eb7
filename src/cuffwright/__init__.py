"""Cuffwright: plan a rotator cuff repair and see what it will hold."""

__version__ = "0.1.0"
