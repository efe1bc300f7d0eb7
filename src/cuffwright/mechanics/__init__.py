"""What the repair holds: sheet, ropes, anchors, load sharing, gap, failure and scatter, all at time zero."""
