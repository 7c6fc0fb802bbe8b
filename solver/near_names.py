"""Names that are looked for by what someone typed: by any case, and what comes near."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from difflib import SequenceMatcher
from typing import TypeVar

Thing = TypeVar("Thing")

_MOST = 4
_LIKE = 0.6
"""Ratio of letters that agree from which on a name comes near."""
_WORD_LIKE = 0.8
"""The same of a single word, which may be mistyped."""


def same(wish: str, name: str) -> bool:
    """Whether they are one name but for case and spaces at the ends or doubled."""
    return _plain(wish) == _plain(name)


def look_up(
    wish: str, things: Sequence[Thing], names: Callable[[Thing], tuple[str, str]]
) -> tuple[Thing | None, str]:
    """What is called so, by its key or, in any case, its label; else None and near ones in words.

    `names` gives key and label of a thing. The words are "" where nothing comes near.
    """
    for thing in things:
        if names(thing)[0] == wish:
            return thing, ""
    for thing in things:
        if any(same(wish, name) for name in names(thing)):
            return thing, ""
    called = {name: names(thing) for thing in things for name in names(thing)}
    close = dict.fromkeys(called[name] for name in near(wish, list(called)))
    told = "; ".join(f"“{label}” ({key})" for key, label in close)
    return None, f"near it: {told}" if told else ""


def near(wish: str, names: Sequence[str]) -> tuple[str, ...]:
    """The few names that come nearest to what was typed, the nearest first; none may be.

    Near is a name with all the words typed, in any order, or one that is nearly the same.
    """
    scored = [(_score(_plain(wish), _plain(name)), name) for name in dict.fromkeys(names)]
    found = sorted((each for each in scored if each[0] >= _LIKE), key=lambda each: -each[0])
    return tuple(name for _, name in found[:_MOST])


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _score(wish: str, name: str) -> float:
    typed, known = _words(wish), _words(name)
    alike = SequenceMatcher(None, wish, name).ratio()
    if typed and all(any(_as_good(one, other) for other in known) for one in typed):
        return 1.0 + alike
    return alike


def _words(text: str) -> list[str]:
    return text.replace(".", " ").replace("_", " ").replace(":", " ").replace(",", " ").split()


def _as_good(typed: str, known: str) -> bool:
    return known.startswith(typed) or SequenceMatcher(None, typed, known).ratio() >= _WORD_LIKE
