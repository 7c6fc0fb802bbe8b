"""The grammar of a typed quantity: numbers with or without units, added and taken away.

    quantity = [sign] term { sign term }        "12 mm + 2"    "-3/8 in"    "5 ft 3 in"
    term     = number [unit]                    "1 3/8 in"     "2,5"        "1.2e3 N/mm"
    unit     = word [power] { ("*" | "/" | "-" | " ") word [power] }

Nothing is evaluated and no power beyond 3 is let through, so hostile text costs nothing and
what reaches the units library is always a short product of words.
"""

import math
import re
from dataclasses import dataclass

from solver.errors import UnitProblem

LONGEST = 120
"""Characters that a typed quantity may have."""

# One character for one, so that places in the rewritten text are places in what was typed.
_REWRITES = str.maketrans(
    {"−": "-", "–": "-", "·": "*", "×": "*", "⋅": "*", "µ": "u", "μ": "u"}
    | {"′": "'", "’": "'", "″": '"', "”": '"', "“": '"', "\u00a0": " ", "\u2009": " "}
)
_SYMBOLS = {"°": " deg ", "%": " percent ", "²": "^2", "³": "^3"}
_LENGTH_MARKS = {"'": " ft ", '"': " in "}
_ANGLE_MARKS = {"'": " arcmin ", '"': " arcsec "}

_DECIMAL = r"(?:\d+(?:[.,]\d+)*[.,]?|[.,]\d+)(?:[eE][+-]?\d{1,4})?"
_NUMBER = rf"\d+\s+\d+\s*/\s*\d+|{_DECIMAL}\s*/\s*{_DECIMAL}|{_DECIMAL}"
_WORD = r"(?:[^\W\d_]+(?:_[^\W\d_]+)*|[°%'\"])(?:\s*(?:\^|\*\*)\s*[1-3]|[²³])?"
_UNIT = rf"{_WORD}(?:\s*[*/]\s*{_WORD}|-{_WORD}|\s+{_WORD})*"
_TERM = re.compile(rf"\s*(?P<sign>[+-]?)\s*(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})?\s*", re.ASCII)
_TWO_WAYS = re.compile(r"\d-\d+/\d")
_THOUSANDS = re.compile(r"[1-9]\d{0,2},\d{3}")


@dataclass(frozen=True, slots=True)
class Term:
    """One number of a sum, sign included; `unit` is "" where none was typed.

    `unit` is a product of words such as "N*mm/deg"; `text` is what was typed, for messages.
    """

    value: float
    unit: str
    text: str


def terms(text: str, *, angles: bool = False) -> tuple[Term, ...]:
    """The terms of a typed sum; at least one.

    `angles`: the marks ' and " are minutes and seconds of arc, else feet and inches.
    Raises UnitProblem, with a sentence, on anything that is not of the grammar.
    """
    if len(text) > LONGEST:
        raise UnitProblem(f"This is too long for a number ({len(text)} characters).")
    clean = text.translate(_REWRITES)
    if two_ways := _TWO_WAYS.search(clean):
        raise UnitProblem(
            f"“{two_ways[0]}…” can be meant as a sum or a difference: put spaces around the minus, "
            "or a space in its place."
        )
    found: list[Term] = []
    place = 0
    while place < len(clean):
        match = _TERM.match(clean, place)
        if match is None or not match[0]:
            raise UnitProblem(f"“{text.strip()}” cannot be read as a number with a unit.")
        found.append(_term(match, text, found[-1] if found else None, angles=angles))
        place = match.end()
    if not found:
        raise UnitProblem("Nothing is typed here yet.")
    return tuple(found)


def _term(match: re.Match[str], typed: str, before: Term | None, *, angles: bool) -> Term:
    sign, unit = match["sign"], _plain_unit(match["unit"] or "", angles=angles)
    written = typed[match.start() : match.end()].strip()
    if before is not None and not sign:
        if not (before.unit and unit):
            raise UnitProblem(f"Put a plus or a minus between “{before.text}” and “{written}”.")
        sign = "-" if math.copysign(1.0, before.value) < 0.0 else "+"
    value = _value(match["number"])
    return Term(-value if sign == "-" else value, unit, written)


def _plain_unit(unit: str, *, angles: bool) -> str:
    marks = _SYMBOLS | (_ANGLE_MARKS if angles else _LENGTH_MARKS)
    for mark, word in marks.items():
        unit = unit.replace(mark, word)
    unit = re.sub(r"\s*(\^|\*\*)\s*", "^", unit.strip())
    unit = re.sub(r"\s*([*/])\s*", r"\1", unit)
    return re.sub(r"[\s-]+", "*", unit).replace("^", "**")


def _value(number: str) -> float:
    top, slash, bottom = number.partition("/")
    *whole, numerator = top.split()
    if not slash:
        return _decimal(top)
    divisor = _decimal(bottom)
    if divisor == 0.0:
        raise UnitProblem(f"“{number}” divides by zero.")
    return (_decimal(whole[0]) if whole else 0.0) + _decimal(numerator) / divisor


def _decimal(number: str) -> float:
    """The value of one decimal number with a point or a comma."""
    number = number.strip()
    if number.count(",") + number.count(".") > 1:
        raise UnitProblem(f"Write “{number}” with one decimal point and no separators.")
    if _THOUSANDS.fullmatch(number):
        raise UnitProblem(f"“{number}” can be read in two ways: write it with a point instead.")
    return float(number.replace(",", "."))
