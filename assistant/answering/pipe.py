"""Taper pipe threads: what the blank is turned to and how the thread is gauged."""

from __future__ import annotations

from assistant.answer import Answer, Ask, Phrase, Value
from assistant.answering.registry import answers
from assistant.answering.situation import Situation
from assistant.answering.thread_limits import asked_thread
from assistant.core.threads import pipe_taper
from assistant.query_drilling import PipeTaperFor


@answers(PipeTaperFor)
def pipe(query: PipeTaperFor, situation: Situation) -> Answer | Ask:
    """Small end, half angle, gauge length and useful length of a taper pipe thread."""
    asked = asked_thread(query.thread, situation)
    if isinstance(asked, Ask):
        return asked
    gauge = pipe_taper.gauge(asked.thread)
    values = {
        "small_end": Value(gauge.major_at_small_end, "mm"),
        "minor_small_end": Value(gauge.minor_at_small_end, "mm"),
        "pitch_diameter": Value(gauge.pitch_in_plane, "mm"),
        "pitch_small_end": Value(gauge.pitch_at_small_end, "mm"),
        "half_angle": Value(gauge.half_angle, "degree"),
        "gauge_length": Value(gauge.gauge_length, "mm"),
        "gauge_length_min": Value(gauge.gauge_length_minimum, "mm"),
        "gauge_length_max": Value(gauge.gauge_length_maximum, "mm"),
        "useful_length": Value(gauge.useful_length, "mm"),
    }
    hole = asked.thread.series == "Rc"
    if hole:
        # The gauge plane of a taper hole is its mouth, so that the hole grows smaller inwards.
        sizes = pipe_taper.basic_sizes(asked.thread)
        values["mouth"] = Value(sizes.minor_diameter_internal, "mm")
        depth = sizes.pitch_diameter - sizes.minor_diameter_internal
        values["thread_depth"] = Value(depth, "mm")
    return Answer(
        kind="pipe-hole" if hole else "pipe",
        values=values,
        texts={"designation": asked.thread.designation, "plane": gauge.plane},
        assumed=asked.assumed,
        working=(Phrase("pipe-hole-working" if hole else "pipe-working", values),),
        sources=(gauge.source,),
    )
