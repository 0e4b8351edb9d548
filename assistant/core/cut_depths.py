"""How deep a turning cut may be, what is left for finishing, and when the work is too slender."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from assistant.core.bounds import Number, check, with_unit
from assistant.core.deflection import (
    between_centres_deflection,
    cantilever_deflection,
    chuck_and_centre_deflection,
    modulus_of,
    springing,
)
from assistant.core.materials import material
from assistant.core.speeds import stick_out
from assistant.errors import NoSuchSize, OutOfRange, TableError
from assistant.tables import document, parsed

PRACTICE = "cutting_practice.yaml"

BENDING: dict[str, Callable[..., float]] = {
    "chuck": cantilever_deflection,
    "chuck-and-centre": chuck_and_centre_deflection,
    "between-centres": between_centres_deflection,
}
"""How the work is held -> formula; supported at both ends the tool is in the middle."""


@dataclass(frozen=True)
class DeepestCut:
    """The deepest roughing cut and what holds it; mm per side (facing: along the axis)."""

    most: Fraction
    held_by: str
    """'power', 'material', 'lathe' or 'bar': which of them is the least."""
    by_power: Fraction | None
    """What the motor leaves for a tool that is no longer sharp; None where it is not known."""
    by_material: Fraction
    by_lathe: Fraction | None
    """What its stiffness stands; None where its swing is not known."""
    by_bar: Fraction | None
    """What the boring bar stands; None where there is none."""
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Finishing:
    """What is left for finishing."""

    allowance: Fraction
    """mm on the size: on the diameter; facing: on the length."""
    cuts: int
    """Finishing cuts, of one depth."""
    least: Fraction
    """mm per side, thinnest cut that still cuts."""
    source: str


@dataclass(frozen=True)
class Slenderness:
    """Whether the work stands out too far or bends too much."""

    ratio: Fraction
    """Length over diameter, exact."""
    support: str | None
    """Key of the caution for more support; None if none is due."""
    deflection: float | None
    """mm at the tool; None where no force was given or no figure serves for the material."""
    limit: float | None
    """mm, above which the caution is due."""
    springs: str | None
    """Key of the caution for bending; None if none is due."""


@cache
def practice(key: str) -> Fraction:
    """One figure of shop practice by its key in the table.

    key     : 'power_share', 'dial_doubt', 'wild_divisions', 'wild_size', 'parting_clear', 'parting_deepest'
    Returns : the figure in the unit of its entry, exact
    Raises  : TableError if the table has no such key or the entry is badly written
    Valid   : starting values; a shop may differ
    Source  : tables/cutting_practice.yaml: common practice

    >>> practice("power_share")
    Fraction(2, 3)
    """
    try:
        return Fraction(document(PRACTICE)[key]["value"])
    except (KeyError, ValueError, TypeError) as fault:
        raise TableError(PRACTICE, f"{key}: {fault}") from fault


@cache
def _by_material() -> dict[tuple[str, str], tuple[Fraction, str]]:
    return dict(
        parsed(
            "roughing_depths.csv",
            lambda row: (
                (row["work"], row["operation"]),
                (Fraction(row["most"]), row["source"]),
            ),
        )
    )


@cache
def _by_swing() -> tuple[tuple[Fraction, Fraction, str], ...]:
    return tuple(
        parsed(
            "roughing_by_swing.csv",
            lambda row: (Fraction(row["swing_up_to"]), Fraction(row["most"]), row["source"]),
        )
    )


@cache
def _bars() -> tuple[tuple[str, Fraction, Fraction, str], ...]:
    return tuple(
        parsed(
            "bar_overhang.csv",
            lambda row: (
                row["bar"],
                Fraction(row["ratio_up_to"]),
                Fraction(row["share"]),
                row["source"],
            ),
        )
    )


def _lathe_stands(swing: Fraction) -> tuple[Fraction, str]:
    check("work diameter", swing)
    return next((most, source) for up_to, most, source in _by_swing() if swing <= up_to)


def bar_share(bar: str, ratio: Fraction) -> Fraction:
    """How much of the deepest cut a boring bar stands.

    bar     : 'steel' or 'carbide'
    ratio   : overhang over diameter, more than 0
    Returns : share up to 1, exact
    Raises  : NoSuchSize for another bar, OutOfRange past the longest overhang of the table
    Valid   : a rule of thumb, for round bars
    Source  : tables/bar_overhang.csv: common practice

    >>> bar_share("steel", Fraction(5, 2))
    Fraction(3, 4)
    """
    bands = [(up_to, share) for name, up_to, share, _ in _bars() if name == bar]
    if not bands:
        names = ", ".join(dict.fromkeys(name for name, *_ in _bars()))
        raise NoSuchSize("boring bar", bar, f"is none of {names}")
    if ratio <= 0:
        given = f"{float(ratio):g} diameters"
        raise OutOfRange("overhang of the bar", given, "must be more than 0 diameters")
    for up_to, share in bands:
        if ratio <= up_to:
            return share
    longest = f"{float(bands[-1][0]):g} diameters"
    raise OutOfRange(
        "overhang of the bar",
        f"{float(ratio):g} diameters",
        f"a {bar} bar chatters above {longest}",
        longest,
    )


def deepest_cut(
    material_key: str,
    operation: str,
    *,
    swing: Fraction | None = None,
    power_depth: Number | None = None,
    bar: str | None = None,
    bar_ratio: Fraction | None = None,
) -> DeepestCut:
    """The deepest roughing cut: the least of what motor, material, lathe and boring bar stand.

    material_key : key in tables/materials.csv
    operation    : 'turn', 'bore' or 'face'
    swing        : mm, over the bed; None where it is not known
    power_depth  : mm, what `forces.largest_depth_of_cut` gives at this speed and feed; None if unknown
    bar          : 'steel' or 'carbide' boring bar; None without one
    bar_ratio    : its overhang over its diameter; needed with `bar`
    Returns      : DeepestCut in mm per side; approximate where the motor holds it
    Raises       : NoSuchSize for an unknown material, operation or bar, OutOfRange for bad numbers
    Valid        : starting values; sharp tool, sound hold
    Source       : tables/roughing_depths.csv, roughing_by_swing.csv, bar_overhang.csv, cutting_practice.yaml

    >>> deepest_cut("mild_steel", "turn", swing=Fraction(200)).held_by
    'lathe'
    """
    work = material(material_key)
    rows = {name: row for (kind, name), row in _by_material().items() if kind == work.iso_group}
    if operation not in rows:
        raise NoSuchSize("operation", operation, f"is none of {', '.join(rows)}")
    by_material, source = rows[operation]
    sources = [source]
    held = {"material": by_material}
    if swing is not None:
        held["lathe"], source = _lathe_stands(swing)
        sources.append(source)
    if bar is not None:
        held["bar"] = by_material * bar_share(bar, Fraction(bar_ratio or 0))
    if power_depth is not None:
        if not power_depth > 0:
            raise OutOfRange("depth of cut", with_unit(power_depth, "mm"), "must be more than 0 mm")
        held["power"] = Fraction(power_depth) * practice("power_share")
    least = min(held, key=lambda name: held[name])
    return DeepestCut(
        held[least],
        least,
        held.get("power"),
        by_material,
        held.get("lathe"),
        held.get("bar"),
        tuple(dict.fromkeys(sources)),
    )


@cache
def _finishing() -> dict[str, Finishing]:
    def parse(row: dict[str, str]) -> tuple[str, Finishing]:
        return row["operation"], Finishing(
            Fraction(row["allowance"]), int(row["cuts"]), Fraction(row["least"]), row["source"]
        )

    return dict(parsed("finishing_allowances.csv", parse))


def finishing(operation: str) -> Finishing:
    """What roughing leaves for finishing.

    operation : 'turn', 'bore' or 'face'
    Returns   : Finishing in mm, exact
    Raises    : NoSuchSize for another operation
    Valid     : starting values
    Source    : tables/finishing_allowances.csv: common practice

    >>> finishing("turn").allowance
    Fraction(1, 2)
    """
    if operation not in _finishing():
        raise NoSuchSize("operation", operation, f"is none of {', '.join(_finishing())}")
    return _finishing()[operation]


def slenderness(
    length: Number,
    diameter: Number,
    holding: str,
    *,
    material_key: str | None = None,
    force: Number | None = None,
    operation: str = "rough",
) -> Slenderness:
    """Whether work stands out too far for its diameter, and how far it bends under the cut.

    length       : mm, from the jaws to the end, or between the supports
    diameter     : mm, the smallest over that length: the finished one
    holding      : 'chuck', 'chuck-and-centre' or 'between-centres'
    material_key : key in tables/materials.csv; None leaves the bending out
    force        : N; the whole main force of `forces.cut_force`, more than what pushes the work away
    operation    : 'rough' or 'finish', for the limit of the bending
    Returns      : Slenderness; ratio exact, bending approximate and on the safe side
    Raises       : OutOfRange for bad numbers, NoSuchSize for another holding
    Valid        : round solid work of one diameter
    Source       : tables/stick_out.csv, tables/deflections.csv, beam formulas of core.deflection

    >>> slenderness(120, 25, "chuck").support
    'needs_centre'
    """
    check("length", length)
    check("work diameter", diameter)
    if holding not in BENDING:
        raise NoSuchSize("holding", holding, f"is none of {', '.join(BENDING)}")
    out = stick_out(Fraction(length), Fraction(diameter), holding)
    if material_key is None or force is None or material(material_key).modulus is None:
        return Slenderness(out.ratio, out.caution, None, None, None)
    bent = BENDING[holding](force, length, modulus_of(material_key), diameter)
    spring = springing(bent, operation)
    return Slenderness(out.ratio, out.caution, spring.deflection, spring.limit, spring.caution)
