"""Mechanics of over-centre, throw-over and toggle lever linkages. Needs no Qt."""
