"""Work out what a repair will hold."""
