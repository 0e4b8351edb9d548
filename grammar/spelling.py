"""Figures as the words of this grammar, for reading typed questions and for saying answers."""

from __future__ import annotations

from fractions import Fraction

_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
).split()
_TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()
_PARTS = {4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty second", 64: "sixty fourth"}
LARGEST = 9999
"""The largest whole number that the grammar has words for."""


def whole_words(number: int) -> str:
    """A whole number from 0 to 9999 in words.

    Raises ValueError outside that range.

    >>> whole_words(1250)
    'one thousand two hundred fifty'
    """
    if not 0 <= number <= LARGEST:
        raise ValueError(f"{number} is outside 0 to {LARGEST}")
    if number < 20:
        return _SMALL[number]
    if number < 100:
        rest = "" if number % 10 == 0 else f" {_SMALL[number % 10]}"
        return _TENS[number // 10] + rest
    unit, name = (1000, "thousand") if number >= 1000 else (100, "hundred")
    rest = "" if number % unit == 0 else f" {whole_words(number % unit)}"
    return f"{whole_words(number // unit)} {name}{rest}"


def digit_words(digits: str) -> str:
    """Digits one by one, zero as 'oh', as a decimal is read out.

    >>> digit_words("05")
    'oh five'
    """
    return " ".join("oh" if digit == "0" else _SMALL[int(digit)] for digit in digits)


def decimal_words(text: str) -> str:
    """A decimal figure such as '1.75' or '.005' in words.

    Raises ValueError if `text` is no plain decimal.

    >>> decimal_words("0.25"), decimal_words("12"), decimal_words("1.750")
    ('point two five', 'twelve', 'one point seven five oh')
    """
    whole, point, places = text.partition(".")
    if not point:
        return whole_words(int(whole))
    front = "" if int(whole or 0) == 0 else f"{whole_words(int(whole))} "
    return f"{front}point {digit_words(places)}"


def fraction_words(number: Fraction) -> str:
    """A shop fraction (halves to 64ths, perhaps with a whole number) in words.

    Raises ValueError for any other denominator.

    >>> fraction_words(Fraction(7, 4)), fraction_words(Fraction(1, 2)), fraction_words(Fraction(5, 64))
    ('one and three quarters', 'one half', 'five sixty fourths')
    """
    whole, rest = divmod(number, 1)
    if rest == 0:
        return whole_words(int(whole))
    if rest == Fraction(1, 2):
        part = "a half" if whole else "one half"
    else:
        if rest.denominator not in _PARTS:
            raise ValueError(f"{number} is not in halves to sixty fourths")
        plural = "" if rest.numerator == 1 else "s"
        one = "a" if rest.numerator == 1 and whole else whole_words(rest.numerator)
        part = f"{one} {_PARTS[rest.denominator]}{plural}"
    return f"{whole_words(int(whole))} and {part}" if whole else part
