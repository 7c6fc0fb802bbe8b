"""Studies of a design: copies off by their tolerances, what matters, tuning, sweeps."""
