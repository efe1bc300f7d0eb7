"""The history of the tables, one file per step in ``versions``; run when an archive is opened."""
