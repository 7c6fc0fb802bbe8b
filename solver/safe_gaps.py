"""The least gaps of ISO 13854 (EN 349): what is wider does not crush that part of the body."""

FINGER = 25.0
"""mm, for a finger."""

HAND = 100.0
"""mm, for hand, wrist and fist."""
