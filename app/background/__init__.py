"""Work beside the window: one process of our own, its jobs, and the line to it."""
