"""Where the example projects are, for every test that goes through them."""

from pathlib import Path

EXAMPLES = sorted((Path(__file__).parents[1] / "assets" / "examples").glob("*.throwover"))
LEFT_STANDING = "08-dry-reject-flap"
"""The one example that is wrong on purpose."""


def named(path: Path) -> str:
    """The name that a test shows for an example."""
    return path.stem
