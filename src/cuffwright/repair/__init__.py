"""How a repair is laid: one file per pattern, and the rules that warn at the place they are broken."""
