"""Inch sizes as they are written: '1 1/4', '3/8', '0.190', and the threads per inch that go with them."""

from __future__ import annotations

import re
from fractions import Fraction

from assistant.errors import NoSuchSize, OutOfRange
from assistant.units import MM_PER_INCH, inches

_WRITTEN = re.compile(r"(?:(?P<whole>\d+)[ -])?(?P<top>\d+)/(?P<bottom>\d+)|(?P<decimal>\d*\.?\d+)")


def value(text: str) -> Fraction:
    """The length that an inch size stands for: whole + top/bottom, or a decimal.

    text    : '1 1/4', '1-1/4', '3/8', '2', '0.190', '.19'; an inch mark at the end is allowed
    Returns : mm, exact
    Raises  : NoSuchSize if it is not written like an inch size, or is zero
    Valid   : sizes without a sign
    Source  : 1 inch = 25.4 mm

    >>> value("1 1/4")
    Fraction(127, 4)
    """
    plain = re.sub(r'\s*("|inches|inch|in\.?)$', "", text.strip())
    match = _WRITTEN.fullmatch(plain)
    if match is None or (match["bottom"] is not None and int(match["bottom"]) == 0):
        raise NoSuchSize("size", repr(text), "is not an inch size such as 3/8, 1 1/4 or 0.190")
    if match["decimal"] is not None:
        number = Fraction(match["decimal"])
    else:
        number = int(match["whole"] or 0) + Fraction(int(match["top"]), int(match["bottom"]))
    if number == 0:
        raise NoSuchSize("size", repr(text), "must be more than 0 inch")
    return inches(number)


def written(length: Fraction) -> str:
    """A length as an inch size is written: whole and fraction to 64ths, else decimal.

    length  : mm
    Returns : text without an inch mark
    Raises  : nothing
    Valid   : lengths above zero
    Source  : definition

    >>> written(inches(Fraction(5, 4)))
    '1 1/4'
    """
    number = length / MM_PER_INCH
    whole, rest = divmod(number, 1)
    if 64 % rest.denominator:
        return f"{float(number):g}"
    if rest == 0:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def per_inch(pitch: Fraction) -> Fraction:
    """Threads per inch of a pitch: 25.4 / P.

    pitch   : mm, greater than zero
    Returns : threads per inch, exact
    Raises  : OutOfRange if the pitch is zero or negative
    Valid   : every thread
    Source  : 1 inch = 25.4 mm

    >>> per_inch(Fraction(127, 65))
    Fraction(13, 1)
    """
    if pitch <= 0:
        raise OutOfRange("pitch", f"{float(pitch):g} mm", "must be more than 0 mm")
    return MM_PER_INCH / pitch


def pitch_of(threads_per_inch: Fraction) -> Fraction:
    """Pitch of a number of threads per inch: 25.4 / n.

    threads_per_inch : 1/inch, greater than zero
    Returns          : mm, exact
    Raises           : OutOfRange if the number is zero or negative
    Valid            : every thread
    Source           : 1 inch = 25.4 mm

    >>> pitch_of(Fraction(13))
    Fraction(127, 65)
    """
    if threads_per_inch <= 0:
        raise OutOfRange("threads per inch", f"{float(threads_per_inch):g}", "must be more than 0")
    return MM_PER_INCH / threads_per_inch


def check_starts(starts: int) -> None:
    """Refuse a number of starts below one.

    starts  : number of starts
    Returns : nothing
    Raises  : OutOfRange if it is zero or negative
    Valid   : every thread
    Source  : definition

    >>> check_starts(2)
    """
    if starts < 1:
        raise OutOfRange("starts", str(starts), "must be 1 or more", "1")


def with_starts(designation: str, starts: int) -> str:
    """A designation with its number of starts, if there is more than one.

    designation : of the single-start thread
    starts      : number of starts
    Returns     : text
    Raises      : nothing
    Valid       : inch threads, whose standards write the number of starts out
    Source      : common practice, no source

    >>> with_starts("1-5 Acme", 2)
    '1-5 Acme, 2 starts'
    """
    return designation if starts == 1 else f"{designation}, {starts} starts"


def printed(length: float) -> Fraction:
    """A length rounded as the inch standards print it: to 0.0001 inch, halves to the even digit.

    length  : mm
    Returns : mm, exact, a whole number of ten-thousandths of an inch
    Raises  : nothing
    Valid   : any length
    Source  : ASME B1.1, B1.5, BS 84; halves to even agree best with the limits that B1.1 prints

    >>> printed(11.43094)
    Fraction(1143, 100)
    """
    return inches(Fraction(round(length / float(MM_PER_INCH) * 10_000), 10_000))
