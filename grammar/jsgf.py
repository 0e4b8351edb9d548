"""The grammar as JSGF, the recognisers' open notation, written from Lark's compiled rules."""

from __future__ import annotations

from lark import Lark

from grammar.automaton import Expansions

TYPED_ONLY = "written_"
"""Rules with this prefix read typed questions and are left out of what is listened for."""


def expansions(parser: Lark, *, typed: bool = False) -> Expansions:
    """Rule name -> alternatives of (symbol, is a word); `typed` adds the typed-only rules."""
    words = {terminal.name: terminal.pattern.value for terminal in parser.terminals}
    found: dict[str, list[list[tuple[str, bool]]]] = {}
    for rule in parser.rules:
        row = [
            (words[each.name] if each.is_term else each.name, each.is_term)
            for each in rule.expansion
        ]
        spoken = not any(name.startswith(TYPED_ONLY) for name, is_word in row if not is_word)
        if typed or (spoken and not rule.origin.name.startswith(TYPED_ONLY)):
            found.setdefault(rule.origin.name, []).append(row)
    return found


def jsgf(rules: Expansions, starts: list[str], name: str = "swarfside") -> str:
    """JSGF text with one public rule over `starts`.

    >>> print(jsgf({"repeat": [[("repeat", True), ("that", True)]]}, ["repeat"]))
    #JSGF V1.0 UTF-8;
    grammar swarfside;
    public <sentence> = <repeat>;
    <repeat> = repeat that;
    <BLANKLINE>
    """
    lines = ["#JSGF V1.0 UTF-8;", f"grammar {name};"]
    lines.append(f"public <sentence> = {' | '.join(f'<{start}>' for start in starts)};")
    for rule in sorted(_reachable(rules, starts)):
        rows = (" ".join(w if is_word else f"<{w}>" for w, is_word in row) for row in rules[rule])
        lines.append(f"<{rule}> = {' | '.join(rows)};")
    return "\n".join(lines) + "\n"


def _reachable(rules: Expansions, starts: list[str]) -> set[str]:
    seen, waiting = set(starts), list(starts)
    while waiting:
        for row in rules[waiting.pop()]:
            for symbol, is_word in row:
                if not is_word and symbol not in seen:
                    seen.add(symbol)
                    waiting.append(symbol)
    return seen
