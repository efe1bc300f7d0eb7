"""A practice's own repairs against themselves: shares, limits round a target, a chart that finds a change."""
