"""The page: places along one thread, served on this machine only."""
