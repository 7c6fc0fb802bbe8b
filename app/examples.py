"""The example projects that come with the program."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from app.assets import asset

SUFFIX = ".throwover"


@dataclass(frozen=True, slots=True)
class Example:
    """An example as it is offered: its file, its project's title, and in short what it shows."""

    path: Path
    title: str
    shows: str


def offered() -> tuple[Example, ...]:
    """The examples in the order of their files; told from a list, so that no file is read."""
    try:
        words = json.loads(asset("examples.json").read_text(encoding="utf-8"))
    except FileNotFoundError:
        return ()
    return tuple(Example(path, *words[path.stem]) for path in examples() if path.stem in words)


def examples() -> tuple[Path, ...]:
    """The files of the examples, by name."""
    try:
        return tuple(sorted(asset("examples").glob(f"*{SUFFIX}")))
    except FileNotFoundError:
        return ()


def first_example() -> Path | None:
    """The worked example that a newcomer sees; None where no example is installed."""
    return next(iter(examples()), None)


def is_example(path: Path) -> bool:
    """Whether a file is one of ours, which a user's save must not overwrite unasked."""
    return path.resolve() in {example.resolve() for example in examples()}
