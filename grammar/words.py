"""The word lists that tables and profiles give to the grammar."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.tables import rows
from grammar.source import NamedWords


def named_words(lathes: Sequence[tuple[str, str]] = (("heron", "heron"),)) -> list[NamedWords]:
    """Phrases for materials, from their table, and for the lathes given as (name, phrase).

    A material's loose phrases ('steel') read as an assumption that the answer must show.

    >>> NamedWords("lathe", "lathe__heron", "heron") in named_words([("heron", "heron")])
    True
    """
    called: dict[str, str] = {}
    for name, phrase in lathes:
        # Two lathes of one name cannot be told apart by voice: the first found keeps it.
        called.setdefault(phrase.lower().removeprefix("the "), name)
    found = [NamedWords("lathe", f"lathe__{name}", phrase) for phrase, name in called.items()]
    for row in rows("materials.csv"):
        loose = row["loose"].split("|")
        for phrase in row["spoken"].split("|"):
            field = "loose_material" if phrase in loose else "material"
            found.append(NamedWords("material", f"{field}__{row['key']}", phrase))
    return found
