"""Project files: JSON with a format name and a version, read strictly, written whole or not.

A file is accepted if it is well-typed and finite; a half-done sketch is saved and opened like
any other, and `solver.checks` says what it lacks.
"""

import contextlib
import errno
import json
import os
import secrets
import stat
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NoReturn

from solver.codec import Json, Misfit, shape_of
from solver.errors import FileProblem
from solver.project import Project

FORMAT = "throwover-project"
VERSION = 1
LARGEST = 32 * 2**20
"""Bytes that a project file may have."""

MIGRATIONS: Mapping[int, Callable[[Json], Json]] = {}
"""Version -> what makes the content of the next version out of it (without format, version)."""


def encode(project: Project) -> Json:
    """The project as a JSON value; FileProblem where a number in it is not finite."""
    try:
        content = shape_of(Project).encode(project)
    except Misfit as misfit:
        raise FileProblem(f"The project cannot be saved: {misfit.path}: {misfit}.") from None
    assert isinstance(content, dict)
    return {"format": FORMAT, "version": VERSION, **content}


def decode(value: object) -> Project:
    """The project of a JSON value; FileProblem that names the path of what does not fit."""
    return _decoded(value, "The project")


def dumps(project: Project) -> str:
    """The text of the project's file, the same for equal projects."""
    return json.dumps(encode(project), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def loads(text: str) -> Project:
    """The project of a file's text."""
    return _decoded(_parsed(text, "The text"), "The text")


def load(path: str | os.PathLike[str]) -> Project:
    """The project in a file; FileProblem names the file and what is wrong with it."""
    called = f"“{Path(path).name or path}”"
    try:
        data = _bytes(Path(path), called)
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise FileProblem(f"{called} is not a Throwover project: it is not UTF-8 text.") from None
    except (OSError, ValueError) as error:
        raise FileProblem(f"{called} cannot be opened: {_reason(error)}.") from error
    return _decoded(_parsed(text, called), called)


def save(project: Project, path: str | os.PathLike[str]) -> None:
    """Write the project's file whole, or not at all; see `write_whole`."""
    write_whole(path, dumps(project).encode())


def write_whole(path: str | os.PathLike[str], data: bytes) -> None:
    """Write a file: afterwards it is whole, or the one before is untouched.

    An existing file keeps its mode, a link goes on pointing at the file that it points at.
    FileProblem, with a sentence, where the file cannot be written.
    """
    called = f"“{Path(path).name or path}”"
    try:
        target = Path(os.path.realpath(path))
        mode = _mode_to_keep(target, called)
        _replace(target, data, mode)
    except (OSError, ValueError) as error:
        raise FileProblem(f"{called} was not saved: {_reason(error)}.") from error


# ---- text to project -------------------------------------------------------------------


def _parsed(text: str, called: str) -> object:
    """The JSON value of a text, without NaN, infinities and double keys."""
    if not text.strip():
        raise FileProblem(f"{called} is empty.")
    try:
        return json.loads(text, parse_constant=_no_constant, object_pairs_hook=_once_each)
    except json.JSONDecodeError as error:
        raise FileProblem(
            f"{called} is not a Throwover project: it cannot be read from line {error.lineno}, "
            f"column {error.colno} on."
        ) from None
    except RecursionError:
        raise FileProblem(f"{called} is nested too deeply for a project.") from None
    except Misfit as misfit:
        raise FileProblem(f"{called} cannot be used: {misfit}.") from None
    except ValueError:  # more digits than Python turns into an integer
        raise FileProblem(f"{called} cannot be used: a number in it is too long.") from None


def _no_constant(word: str) -> NoReturn:
    raise Misfit(f"{word} is not a number that a project can hold")


def _once_each(pairs: list[tuple[str, object]]) -> Json:
    found = dict(pairs)
    if len(found) < len(pairs):
        (double, _), *_ = Counter(key for key, _ in pairs).most_common(1)
        raise Misfit(f'the key "{double[:40]}" stands twice in one object')
    return found


def _decoded(value: object, called: str) -> Project:
    if not isinstance(value, dict) or value.get("format") != FORMAT:
        raise FileProblem(f'{called} is not a Throwover project: it has no "format": "{FORMAT}".')
    content = {key: item for key, item in value.items() if key not in ("format", "version")}
    content = _migrated(content, _version(value, called))
    try:
        project = shape_of(Project).decode(content)
        assert isinstance(project, Project)
        sheet = content.get("sheet")
        if not (isinstance(sheet, dict) and "units" in sheet):
            project = project.in_units(project.display.units)  # one unit unless told otherwise
    except Misfit as misfit:
        where = f"{misfit.path}: " if misfit.path else ""
        raise FileProblem(f"{called} cannot be used: {where}{misfit}.") from None
    return project


def _version(value: Json, called: str) -> int:
    version = value.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise FileProblem(f"{called} cannot be used: version: expected a whole number above 0.")
    if version > VERSION:
        raise FileProblem(
            f"{called} was written by a newer Throwover (format version {_short(version)}); "
            f"this one reads up to {VERSION}."
        )
    return version


def _short(version: int) -> str:
    return str(version) if version < 10**9 else "over a thousand million"


def _migrated(content: Json, version: int) -> Json:
    for step in range(version, VERSION):
        content = MIGRATIONS[step](content)
    return content


# ---- bytes on disk ---------------------------------------------------------------------


def _bytes(path: Path, called: str) -> bytes:
    # Only ordinary files: a pipe would wait for ever, a device never end.
    if not stat.S_ISREG(path.stat().st_mode):
        raise FileProblem(f"{called} is not a file that holds a project.")
    with path.open("rb") as file:
        data = file.read(LARGEST + 1)
    if len(data) > LARGEST:
        raise FileProblem(f"{called} is too large for a project (over {LARGEST >> 20} MB).")
    return data


def _mode_to_keep(target: Path, called: str) -> int | None:
    """Permissions of the file that is there; None where there is none."""
    try:
        present = target.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(present.st_mode):
        raise FileProblem(f"{called} was not saved: there is something else of that name.")
    if not os.access(target, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
        raise FileProblem(f"{called} was not saved: the file is write-protected.")
    return stat.S_IMODE(present.st_mode)


def _replace(target: Path, data: bytes, mode: int | None) -> None:
    beside = target.with_name(f".throwover-{secrets.token_hex(6)}.part")
    try:
        # The mode given here is cut by the user's umask, as for any new file.
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
        with os.fdopen(os.open(beside, flags, 0o666), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if mode is not None:
            beside.chmod(mode)
        beside.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _sync_folder(folder: Path) -> None:
    """Make the new name last too, where the system can do so; the file itself is on disk."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


_REASONS: Mapping[int, str] = {
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "there is no such folder",
    errno.EACCES: "you have no permission there",
    errno.EPERM: "you have no permission there",
    errno.EROFS: "that disk cannot be written",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is full",
    errno.EFBIG: "there is no room for a file of that size",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "the links lead in a circle",
    errno.EISDIR: "that is a folder",
}


def _reason(error: OSError | ValueError) -> str:
    if not isinstance(error, OSError):
        return "the name has a character that file names cannot have"
    return _REASONS.get(error.errno or 0, error.strerror or "the system refused")
