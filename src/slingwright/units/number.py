"""The number grammar of the border: what people write, read exactly as a fraction.

A comma groups thousands; it is never a decimal sign. Where a reader used to decimal commas could mean
something else (`5,350 kg`) the text is refused with both readings, because a wrong guess is a factor of
a thousand on somebody's load.
"""

from __future__ import annotations

import re
from fractions import Fraction

__all__ = ["NumberProblem", "clean_text", "read_number"]

_SPACES = "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u3000\t"
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_SAME = {
    **dict.fromkeys(_SPACES, " "),
    **dict.fromkeys("−‐‑‒–—", "-"),
    **dict.fromkeys("′’‘ʹ", "'"),
    **dict.fromkeys("″”“ʺ", '"'),
    **{sign: f" {text}" for sign, text in _VULGAR.items()},
    "⁄": "/", "º": "°", "˚": "°", "³": "3", "²": "2", "·": "*", "℃": "°C", "℉": "°F",
}  # fmt: skip
_TRANSLATION = str.maketrans(_SAME)

_WHOLE = r"(?:\d+|\d{1,3}(?: \d{3})+|\d{1,3}(?:,\d{3})+)"
_DECIMAL = re.compile(rf"({_WHOLE})?(?:\.(\d+))?", re.ASCII)
_MIXED = re.compile(rf"(?:({_WHOLE})(?: | ?- ?))?(\d{{1,2}}) ?/ ?(\d{{1,3}})", re.ASCII)
_ONE_GROUP = re.compile(r"[1-9]\d{0,2},\d{3}", re.ASCII)


class NumberProblem(ValueError):  # noqa: N818  (never leaves this package; carries what a fault will say)
    """Why a text is not a number, and the form that would be."""

    def __init__(self, problem: str, hint: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.hint = hint


def clean_text(text: str) -> str:
    """Bring quotes, dashes, spaces and vulgar fractions of a text to one spelling each."""
    return " ".join(text.translate(_TRANSLATION).replace("''", '"').split())


def read_number(text: str, *, comma_groups: bool) -> Fraction:
    """Read an unsigned number exactly.

    Forms: `11800`, `11 800`, `11,800`, `0.5`, `.5`, `1/8`, `2 1/2`, `2-1/2`.

    Parameters
    ----------
    text
        The cleaned text (see `clean_text`) of the number alone.
    comma_groups
        Whether one comma before three digits is beyond doubt a thousands separator (it is where the unit
        is one of the US customary ones).

    Raises
    ------
    NumberProblem
        The text is no number of these forms, or can be read in two ways.
    """
    text = text.strip()
    if not comma_groups and _ONE_GROUP.fullmatch(text):
        grouped, decimal = text.replace(",", ""), text.replace(",", ".")
        msg = f'"{text}" can be read in two ways'
        raise NumberProblem(msg, f'write "{grouped}" or "{decimal}"')
    if mixed := _MIXED.fullmatch(text):
        return _mixed_number(text, *mixed.groups())
    decimal_match = _DECIMAL.fullmatch(text)
    if text and decimal_match:
        whole, places = decimal_match.groups()
        return Fraction(f"{_digits(whole or '0')}.{places or '0'}")
    raise _explain(text)


def _digits(whole: str) -> str:
    return whole.replace(",", "").replace(" ", "")


def _mixed_number(text: str, whole: str | None, numerator: str, denominator: str) -> Fraction:
    if int(denominator) == 0:
        msg = f'"{text}" divides by zero'
        raise NumberProblem(msg)
    part = Fraction(int(numerator), int(denominator))
    if whole is not None and part >= 1:
        msg = f'the fraction in "{text}" is not less than one'
        raise NumberProblem(msg, 'write it like "2 1/2"')
    return int(_digits(whole or "0")) + part


def _explain(text: str) -> NumberProblem:
    """Say why the text was refused, with the right form where one is plain."""
    if re.fullmatch(r"\d+,\d+", text, re.ASCII):
        return NumberProblem(
            f'the comma in "{text}" is not where thousands are divided',
            f'for a decimal number write "{text.replace(",", ".")}"',
        )
    if re.fullmatch(r"\d{1,3}(\.\d{3})+(,\d+)?", text, re.ASCII):
        return NumberProblem(
            f'"{text}" uses points to divide thousands',
            f'write "{text.replace(".", " ").replace(",", ".")}"',
        )
    if re.search(r"\d *e *[-+]?\d", text, re.IGNORECASE):
        return NumberProblem(f'"{text}" is written with an exponent', "write the number out")
    return NumberProblem(f'"{text}" is not a number')
