"""The version of the installed program."""

from importlib.metadata import PackageNotFoundError, version


def program_version() -> str:
    """The version as installed, such as "0.1.0"."""
    try:
        return version("throwover")
    except PackageNotFoundError:
        return "(not installed)"
