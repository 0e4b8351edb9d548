"""How long a cut takes, how many cuts a job needs, what the bar weighs and how many blanks it gives."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Answer, Phrase, Value
from assistant.answering.bare_numbers import settled
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.work import material_assumed
from assistant.core.cutting_time import cut_plan, time_of_cut, time_of_cuts, time_of_facing
from assistant.core.materials import material
from assistant.core.stock import (
    blanks_from_bar,
    hexagon_area,
    round_area,
    square_area,
    tube_area,
    weight,
)
from assistant.errors import OutOfRange
from assistant.query_cutting import BlanksFrom, CutsFor, StockWeight, TimeFor

USUAL_KERF = Fraction(3)
"""mm, taken where no kerf was named: a parting tool; bandsaws take less."""


@answers(TimeFor)
def time_for(query: TimeFor, situation: Situation) -> Answer:
    """t = L / (f n) along the work, (D - d) / (2 f n) across a face."""
    sizes = settled(query)
    feed, turns = sizes.sizes["feed"], Fraction(query.spindle_speed)
    values = {
        "feed": Value(feed, "mm/turn"),
        "spindle_speed": Value(turns, "rpm"),
        "cuts": Value(Fraction(query.cuts), ""),
    }
    length, diameter = sizes.get("cut_length"), sizes.get("diameter")
    if length is not None:
        one = time_of_cut(length, feed, turns)
    else:
        assert diameter is not None
        inner = sizes.get("inner_diameter") or Fraction(0)
        one = time_of_facing(diameter, inner, feed, turns)
        length = (diameter - inner) / 2
    whole = time_of_cuts(one, query.cuts)
    values["travel"] = Value(length, "mm")
    values["cutting_time"] = Value(60 * whole, "s")
    values["cutting_minutes"] = Value(whole, "min")
    return Answer(
        kind="time",
        values=values,
        assumed=(*sizes.assumed, Phrase("assumed-cutting-only")),
        working=(Phrase("time-working", values),),
        sources=("definition of feed",),
    )


@answers(CutsFor)
def cuts_for(query: CutsFor, situation: Situation) -> Answer:
    """Equal cuts, none deeper than asked."""
    sizes = settled(query)
    start, end = sizes.sizes["start_diameter"], sizes.sizes["end_diameter"]
    finish = sizes.get("finish_allowance") or Fraction(0)
    plan = cut_plan(start, end, sizes.sizes["depth"], finish)
    values = {
        "cuts": Value(Fraction(plan.cuts), ""),
        "all_cuts": Value(Fraction(plan.all_cuts), ""),
        "start_diameter": Value(start, "mm"),
        "end_diameter": Value(end, "mm"),
        "remove_on_diameter": Value(abs(start - end), "mm"),
        "depth": Value(sizes.sizes["depth"], "mm"),
        "finish_allowance": Value(finish, "mm"),
    }
    if plan.cuts:
        values["each_depth"] = Value(plan.depth_on_radius, "mm")
        values["each_on_diameter"] = Value(2 * plan.depth_on_radius, "mm")
    texts = {"finish": "yes"} if finish else {"even": "yes"}
    texts["cut"] = "cut" if plan.all_cuts == 1 else "cuts"
    return Answer(
        kind="cuts",
        values=values,
        texts=texts,
        assumed=(*sizes.assumed, Phrase("assumed-depth-on-radius")),
        working=(Phrase("cuts-working", values),),
        sources=("common practice, no source",),
    )


def _area(shape: str, size: Fraction, wall: Fraction | None) -> float:
    if wall is not None:
        if not 0 < 2 * wall < size:
            raise OutOfRange(
                "wall",
                f"{float(wall):g} mm",
                f"must be less than half of the outside, {float(size / 2):g} mm",
            )
        return tube_area(size, size - 2 * wall)
    return {"round": round_area, "hexagon": hexagon_area, "square": square_area}[shape](size)


@answers(StockWeight)
def stock_weight(query: StockWeight, situation: Situation) -> Answer:
    """Weight of a bar: section x length x density."""
    work = material(query.material)
    sizes = settled(query)
    size, length, wall = sizes.sizes["bar_size"], sizes.sizes["bar_length"], sizes.get("wall")
    area = _area(query.shape, size, wall)
    values = {
        "weight": Value(weight(area, length, work.density), "kg"),
        "bar_size": Value(size, "mm"),
        "bar_length": Value(length, "mm"),
        "section": Value(area, ""),
        "density": Value(work.density, ""),
    }
    if wall is not None:
        values["wall"] = Value(wall, "mm")
    shape = "tube" if wall is not None else f"{query.shape} bar"
    return Answer(
        kind="weight",
        values=values,
        texts={"material": work.name, "shape": shape},
        assumed=(*sizes.assumed, *material_assumed(query, work)),
        working=(Phrase("weight-working", values),),
        sources=(f"density: {work.source}",),
    )


@answers(BlanksFrom)
def blanks_from(query: BlanksFrom, situation: Situation) -> Answer:
    """Blanks from a bar, with the saw's width and the end in the chuck."""
    sizes = settled(query)
    bar, blank = sizes.sizes["bar_length"], sizes.sizes["blank_length"]
    kerf, grip = sizes.get("kerf"), sizes.get("grip") or Fraction(0)
    assumed = list(sizes.assumed)
    if kerf is None:
        kerf = USUAL_KERF
        assumed.append(Phrase("taken-kerf", {"kerf": Value(kerf, "mm")}))
    found = blanks_from_bar(bar, blank, kerf, grip)
    values = {
        "blanks": Value(Fraction(found.count), ""),
        "saw_cuts": Value(Fraction(found.cuts), ""),
        "left_over": Value(found.left_over, "mm"),
        "bar_length": Value(bar, "mm"),
        "blank_length": Value(blank, "mm"),
        "kerf": Value(kerf, "mm"),
        "grip": Value(grip, "mm"),
    }
    return Answer(
        kind="blanks",
        values=values,
        texts={"blank": "blank" if found.count == 1 else "blanks"},
        assumed=tuple(assumed),
        working=(Phrase("blanks-working", values),),
        sources=("common practice, no source",),
    )
