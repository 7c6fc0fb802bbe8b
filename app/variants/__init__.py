"""The variants of a project: kept, listed, and compared side by side."""
