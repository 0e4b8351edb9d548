"""Which sequence a query starts."""

from __future__ import annotations

from assistant.alongside.cut_begin import facing_begun, turning_begun
from assistant.alongside.cuts import CutsToSize
from assistant.alongside.depth_work import DepthWork, drilling_begun, parting_begun
from assistant.alongside.guided import Guided, guided
from assistant.alongside.sequence import Outcome, Sequence
from assistant.alongside.thread_begin import thread_begun
from assistant.alongside.thread_cycle import ThreadCycle
from assistant.answering.situation import Situation
from assistant.query import Query
from assistant.query_alongside import (
    StartDrilling,
    StartFacing,
    StartParting,
    StartProcedure,
    StartThread,
)
from assistant.query_sizing import StartTurning

SEQUENCES: dict[str, type] = {
    each.__name__: each for each in (Guided, ThreadCycle, CutsToSize, DepthWork)
}
"""Every class of sequence, by its name."""


def begun(query: Query, situation: Situation) -> Sequence | Outcome | None:
    """The sequence that `query` starts, or what must be asked first; None for a query that starts none.

    Raises OutOfRange.
    """
    match query:
        case StartTurning():
            return turning_begun(query, situation)
        case StartParting():
            return parting_begun(query, situation)
        case StartDrilling():
            return drilling_begun(query, situation)
        case StartFacing():
            return facing_begun(query, situation)
        case StartThread():
            return thread_begun(query, situation)
        case StartProcedure():
            return guided(query.procedure)
    return None
