"""The history of the tables, one file per step in ``versions``; run when an archive is opened.

Steps only lead forward: an older release refuses newer tables.
"""
