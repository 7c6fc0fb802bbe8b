"""Workshop drawings: one description in mm on paper, and what paints or writes it."""
