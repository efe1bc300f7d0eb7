"""Steps of the tables, in order."""
