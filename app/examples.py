"""The example projects that come with the program."""

from __future__ import annotations

from pathlib import Path

from app.assets import asset

SUFFIX = ".throwover"


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
