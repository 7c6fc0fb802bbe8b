"""Where the files of `assets/` are."""

from pathlib import Path

# Beside `app`, in a checkout as in an installed program (see pyproject.toml).
_ASSETS = Path(__file__).resolve().parent.parent / "assets"


def asset(name: str) -> Path:
    """The file or folder of that name under `assets/`, such as ``asset("icon.svg")``.

    Raises FileNotFoundError where there is none.
    """
    path = _ASSETS / name
    if not path.exists():
        raise FileNotFoundError(f"assets/{name}")
    return path
