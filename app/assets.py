"""Where the files of `assets/` are, in a checkout and in an installed program."""

from pathlib import Path

_BESIDE = Path(__file__).resolve().parent.parent


def asset(name: str) -> Path:
    """The file or folder of that name under `assets/`, such as ``asset("icon.svg")``.

    Raises FileNotFoundError where there is none.
    """
    for folder in ("assets", "throwover_assets"):
        path = _BESIDE / folder / name
        if path.exists():
            return path
    raise FileNotFoundError(f"assets/{name}")
