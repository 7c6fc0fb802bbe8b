"""Errors meant for the user: `str(error)` is a sentence that names the part and what to do."""


class ThrowoverError(Exception):
    """Base of every error whose text may be shown as it is."""


class DesignProblem(ThrowoverError):
    """A design that cannot be solved; `part` names the part concerned ("" where none)."""

    def __init__(self, sentence: str, part: str = "") -> None:
        super().__init__(sentence)
        self.part = part


class FileProblem(ThrowoverError):
    """A file that cannot be read or written; nothing was changed."""


class UnitProblem(ThrowoverError):
    """A typed quantity that cannot be understood in its field."""
