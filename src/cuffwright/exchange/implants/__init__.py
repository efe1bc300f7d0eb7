"""Implant labels by scan, paste or photograph, and the stock of implants as data."""

from cuffwright.exchange.implants.label import read_label
from cuffwright.exchange.implants.photograph import read_photograph
from cuffwright.exchange.implants.stock_file import open_stock, read_stock

__all__ = ["open_stock", "read_label", "read_photograph", "read_stock"]
