"""Names of levers, positions and marks as part of a Lark alias, which may hold small letters and digits only."""

from __future__ import annotations

import re

_PLAIN = re.compile(r"[a-wyz]")
_ESCAPED = re.compile(r"x([0-9a-f]{6})")


def as_alias(name: str) -> str:
    """`name` in small letters and digits; 'x' and six hexadecimal digits stand for any other sign.

    >>> as_alias("back gear")
    'backx000020gear'
    """
    return "".join(sign if _PLAIN.fullmatch(sign) else f"x{ord(sign):06x}" for sign in name)


def of_alias(alias: str) -> str:
    """The name that `as_alias` made this of.

    >>> of_alias(as_alias("2 o'clock"))
    "2 o'clock"
    """
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), alias)
