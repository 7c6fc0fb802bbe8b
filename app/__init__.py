"""The Throwover desktop program and its command line."""
