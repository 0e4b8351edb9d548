"""The materials of the work: names, groups, density, expansion, stiffness."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.errors import NoSuchSize, nearest_names
from assistant.tables import parsed


@dataclass(frozen=True)
class Material:
    """One row of tables/materials.csv."""

    key: str
    name: str
    """As shown, short."""
    spoken: tuple[str, ...]
    """Every phrase that means it."""
    loose: frozenset[str]
    """Those phrases that do not name the grade; an answer says what was assumed."""
    iso_group: str
    """ISO 513 letter, 'plastic' or 'wood'."""
    hardness: str
    """Condition that the figures stand for, as text; may be empty."""
    density: Fraction
    """g/cm3."""
    expansion: Fraction | None
    """1e-6 per kelvin; None where no one figure serves."""
    modulus: Fraction | None
    """GPa; None where no one figure serves."""
    force_group: str | None
    """Row of tables/specific_cutting_force.csv; None where it has none."""
    caution: str | None
    """Key of the caution that goes before cutting advice; None if there is none."""
    source: str


def _number(text: str) -> Fraction | None:
    return Fraction(text) if text else None


def _material(row: dict[str, str]) -> Material:
    return Material(
        key=row["key"],
        name=row["name"],
        spoken=tuple(row["spoken"].split("|")),
        loose=frozenset(filter(None, row["loose"].split("|"))),
        iso_group=row["iso_group"],
        hardness=row["hardness"],
        density=Fraction(row["density"]),
        expansion=_number(row["expansion"]),
        modulus=_number(row["modulus"]),
        force_group=row["force_group"] or None,
        caution=row["caution"] or None,
        source=row["source"],
    )


@cache
def materials() -> dict[str, Material]:
    """All materials by key, in the order of the table.

    Returns : key -> Material; figures exact as printed
    Raises  : TableError if the table is broken
    Valid   : typical figures at room temperature; a certificate of the bar in hand goes first
    Source  : tables/materials.csv

    >>> materials()["brass"].iso_group
    'N'
    """
    return {found.key: found for found in parsed("materials.csv", _material)}


def material(key: str) -> Material:
    """The material with `key`.

    key     : key in tables/materials.csv
    Returns : Material; figures exact as printed
    Raises  : NoSuchSize if there is none, with the names most like it
    Valid   : as `materials`
    Source  : tables/materials.csv

    >>> material("mild_steel").name
    'mild steel'
    """
    found = materials().get(key)
    if found is None:
        names = ", ".join(nearest_names(key, tuple(materials())))
        raise NoSuchSize("material", key, "is not in the table of materials", names or None)
    return found
