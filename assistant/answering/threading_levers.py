"""The lever that reverses the leadscrew: which way it stands for a right-hand and a left-hand thread."""

from __future__ import annotations

from fractions import Fraction

from assistant.answer import Phrase
from assistant.core.levers import Setting
from profiles.lathe import Lathe


def hand_setting(lathe: Lathe, left_hand: bool) -> tuple[tuple[Setting, ...], ...]:
    """The setting of the reversing lever as a group for `plan_for`; nothing where none is known.

    >>> from profiles.load import find
    >>> hand_setting(find("heron"), True)[0][0].levers
    {'reverse': 'left'}
    """
    reversing = lathe.reversing
    if reversing is None:
        return ()
    place = reversing.left_hand if left_hand else reversing.right_hand
    # It gives no figure of its own.
    return ((Setting(Fraction(0), {reversing.lever: place}),),)


def hand_cautions(lathe: Lathe, left_hand: bool) -> list[Phrase]:
    """For a left-hand thread: where to start and which way to cut."""
    if not left_hand:
        return []
    return [Phrase("left-hand-start" if lathe.reversing else "left-hand-no-lever")]
