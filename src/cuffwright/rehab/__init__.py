"""After the repair: steps that the surgeon's protocol sets and published evidence or the model may only delay."""
