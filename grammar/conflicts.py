"""Explains where the grammar is ambiguous to its parser: `python -m grammar.conflicts`.

Lark's strict mode names a terminal and a rule; a writer of phrases needs the whole state.
"""

from __future__ import annotations

from typing import Any

from lark import Lark
from lark.parsers import lalr_analysis

from grammar.source import WordLexer, lark_text, start_rules
from grammar.words import named_words


class _Listed(Exception):
    """Ends the analysis once every state has been seen."""


def conflicts(text: str) -> list[str]:
    """One paragraph for each conflict: the terminal, the rules to finish, the places to go on."""
    found: list[str] = []

    class Explaining(lalr_analysis.LALR_Analyzer):
        def compute_lalr1_states(self) -> None:
            for state in self.lr0_itemsets:
                for terminal, rules in state.lookaheads.items():
                    going_on = terminal in state.transitions
                    if len(rules) > 1 or going_on:
                        places = [
                            str(item)
                            for item in state.closure
                            if going_on and _reads(item, terminal)
                        ]
                        found.append(
                            f"before {terminal.name}: finish {sorted(map(str, rules))} or go on {places}"
                        )
            raise _Listed

    def _reads(item: Any, terminal: Any) -> bool:
        return not item.is_satisfied and item.next == terminal

    # Lark analyses its own notation on first use: let it do so before the analyser is exchanged.
    Lark('start: "a"', parser="lalr")
    original = lalr_analysis.LALR_Analyzer
    from lark.parsers import lalr_parser

    vars(lalr_parser)["LALR_Analyzer"] = Explaining
    try:
        Lark(
            text,
            parser="lalr",
            lexer=WordLexer,
            start=sorted(start_rules(text)),
            maybe_placeholders=False,
        )
    except _Listed:
        pass
    finally:
        vars(lalr_parser)["LALR_Analyzer"] = original
    return found


if __name__ == "__main__":
    for paragraph in conflicts(lark_text(named_words())):
        print(paragraph)
