"""The version of the installed program."""


def program_version() -> str:
    """The version as installed, such as "0.1.0"."""
    from importlib.metadata import PackageNotFoundError, version  # it takes long to import

    try:
        return version("throwover")
    except PackageNotFoundError:
        return "(not installed)"
