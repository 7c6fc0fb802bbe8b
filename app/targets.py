"""Where a command writes: what is typed after `--into`, as a folder or a file. Needs no Qt."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path

from solver.errors import FileProblem

_LIKE_A_FILE = re.compile(r"\.[a-z][a-z0-9]{0,4}", re.IGNORECASE)
"""Endings that people give to files and not to folders; a version such as v1.2 has none."""


def target(typed: str, called: str, endings: Sequence[str]) -> tuple[Path, bool]:
    """The full path that is meant, and whether it is a file: it has one of the endings.

    `called` says what is written. FileProblem, with what to do, for what can be neither.
    """
    path, asks_for_folder = _path(typed), typed.endswith(("/", os.sep))
    listed = ", ".join(endings)
    like_a_file = _LIKE_A_FILE.fullmatch(path.suffix) is not None and not asks_for_folder
    if os.path.isdir(path):  # noqa: PTH112 - a name that is too long is no folder, and no error
        if like_a_file:
            raise FileProblem(
                f"{path} is a folder: put a / at its end to write into it, or name another file."
            )
        return path, False
    if like_a_file:
        if path.suffix[1:].lower() not in endings:
            raise FileProblem(
                f"{path} ends in {path.suffix}, but the {called} is written as {listed}: give it "
                "one of these endings, or a / at its end if it is to be a folder."
            )
        return path, True
    return path, False


def made_folder(path: Path) -> Path:
    """The folder, made if it is missing; FileProblem, with what to do, where it cannot be."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise FileProblem(f"{path} is not a folder: name one, or a file with its ending.") from None
    except NotADirectoryError:
        raise FileProblem(
            f"The folder {path} cannot be made, for part of its path is a file: name another."
        ) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileProblem(
            f"The folder {path} cannot be made ({reason}): name one that you may write to."
        ) from error
    return path


def typed_folder(typed: str) -> Path:
    """The full path of a folder that was typed; FileProblem for nothing."""
    return _path(typed)


def _path(typed: str) -> Path:
    if not typed.strip():
        raise FileProblem(
            "Nothing stands after --into: name a folder or a file; “.” is the folder you are in."
        )
    return Path(os.path.abspath(typed))  # noqa: PTH100 - takes “..” out too
