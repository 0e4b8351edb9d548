"""What every answer about cutting a material has in common: its name, its caution, the tool that was taken."""

from __future__ import annotations

from assistant.answer import Phrase
from assistant.answering.situation import Situation
from assistant.core.materials import Material
from assistant.query import Query

USUAL_TOOL = "hss"
"""Assumed where none was named: the slowest of the tools, so a wrong guess costs time, not an edge."""


HOLES = frozenset({"drill", "ream"})
"""Operations that the tailstock does, by hand."""


def tool_name(tool: str) -> str:
    """A tool as the wording shows it."""
    return {"hss": "high speed steel"}.get(tool, tool.replace("-", " "))


def taken_tool(tool: str | None, situation: Situation) -> tuple[str, list[Phrase]]:
    """The tool to count with, and what must be said about it where it was not named."""
    if tool is not None:
        return tool, []
    taken = situation.tool or USUAL_TOOL
    key = "assumed-tool-in-hand" if situation.tool else "taken-tool"
    return taken, [Phrase(key, {"tool": tool_name(taken)})]


def material_cautions(work: Material) -> list[Phrase]:
    """The caution that goes before any cutting advice for this material."""
    return [Phrase(work.caution)] if work.caution else []


def material_assumed(query: Query, work: Material) -> list[Phrase]:
    """That a material was named without its grade."""
    loose = "loose-material" in query.assumed
    return [Phrase("assumed-material", {"material": work.name})] if loose else []
