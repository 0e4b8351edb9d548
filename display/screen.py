"""The live screen: one window, driven from any thread, drawn on the main one."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Final

from assistant.answer import Answer, Shown
from display.content import HINTS, Content, of_fault, of_hints, of_outcome, of_sleep, of_welcome
from display.layout import compose
from display.legibility import Legibility, screen_height
from display.page import Page
from display.page import Sheet as Paper
from display.rest import Patience, Rest, rest, turned
from display.setting import Setting
from display.theme import SCHEMES
from display.view import OnKey, known_ear_state
from display.window import (
    KivyUnavailable,
    choose_screen,
    give_memory_back,
    monitors_plugged,
)
from display.words import word

if TYPE_CHECKING:
    from display.sheet import Sheet

PAGE_SECONDS: Final = 6.0
"""How long each of several pages stands."""
TITLE: Final = "Swarfside"
TICK: Final = 1.0
"""Seconds between two looks at the clock and at the monitors."""
_ON_MONITOR: Final = 0x2FFF0000
"""SDL: a window's place 'in the middle of monitor n' is this and n."""
_LOG = logging.getLogger(__name__)


class Screen:
    """A view on a window; needs a desktop or a console with a screen.

    Raises KivyUnavailable (a DeviceError) at once where there is none.
    """

    def __init__(
        self,
        distance_mm: float,
        diagonal_mm: float,
        scheme: str = "dark",
        fullscreen: bool = True,
        monitor: int = 1,
        talk_key: str = "",
        patience: Patience | None = None,
    ) -> None:
        """monitor  : which one, counted from 1 as the system counts them
        talk_key : key that a pedal types, named where the screen tells to press it
        """
        choose_screen()
        give_memory_back()
        from kivy.clock import Clock

        self._clock: Any = Clock
        self._distance = distance_mm
        self._diagonal = diagonal_mm
        self._scheme = SCHEMES[scheme]
        self._fullscreen = fullscreen
        self._monitor = monitor
        self._talk_key = talk_key
        self._patience = patience or Patience()
        self._content: Content = of_welcome([TITLE])
        self._resting: tuple[Rest, int | str] = (Rest.CONTENT, 0)
        self._since = time.monotonic()
        self._phrases: tuple[str, ...] = ()
        self._place = ""
        self._last = ("", "")
        self._ear = "asleep"
        self._pages: tuple[Page, ...] = ()
        self._number = 0
        self._sheet: Sheet | None = None
        self._plugged: tuple[str, ...] = ()
        self._turning: Any = Clock.create_trigger(
            lambda _: self._turn(), PAGE_SECONDS, interval=True
        )
        self._held: set[int] = set()
        self.on_key: OnKey | None = None
        self.on_release: OnKey | None = None

    @classmethod
    def as_set(cls, setting: Setting) -> Screen:
        """The screen that the shop's settings ask for."""
        return cls(
            setting.distance_mm,
            setting.diagonal_mm,
            setting.scheme,
            monitor=setting.monitor,
            talk_key=setting.talk_key,
        )

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        """Show an outcome; `answer` brings the pictures."""
        self._later(lambda: self._take_outcome(shown, answer))

    def fault(self, sentence: str, remedy: str) -> None:
        """Show what does not work and what to do about it."""
        self._later(lambda: self._take(of_fault(sentence, remedy)))

    def welcome(self, lines: Sequence[str]) -> None:
        """Show the lines to read before the work starts."""
        self._later(lambda: self._take(of_welcome(lines)))

    def suggest(self, phrases: Sequence[str], place: str = "") -> None:
        """Keep phrases that can be said now; they are shown when nothing is asked for a while."""
        kept = tuple(phrases)
        self._later(lambda: self._keep(kept, place))

    def set_ear(self, state: str) -> None:
        """Tell what the ear is doing, one of EAR_STATES."""
        known = known_ear_state(state)
        self._later(lambda: self._hear(known))

    def close(self) -> None:
        """End `run`."""
        from kivy.base import stopTouchApp

        self._later(stopTouchApp)

    def run(self) -> None:
        """Open the window and show until closed; call it on the main thread.

        Raises DeviceError where no window opens or the screen is too small for the distance.
        """
        from kivy.base import EventLoop, runTouchApp

        self._open()
        runTouchApp(self._sheet)
        EventLoop.window.close()

    def _open(self) -> None:
        from kivy.base import EventLoop

        from display.sheet import Sheet

        _configure(self._monitor)
        EventLoop.ensure_window()
        window = EventLoop.window
        if window is None:
            raise KivyUnavailable("no window can be opened on this screen")
        window.set_title(TITLE)
        window.show_cursor = False
        # Never blank: a cut may run for an hour without a question.
        window.allow_screensaver = False
        if self._fullscreen:
            window.fullscreen = "auto"
        width, height = (int(side) for side in window.system_size)
        self._legibility(width, height).require_enough(width)
        self._sheet = Sheet()
        self._sheet.bind(size=lambda *_: self._lay_out())
        window.bind(on_key_down=self._key_down, on_key_up=self._key_up)
        window.bind(on_touch_down=lambda *_: self._tell(self.on_key, "touch"))
        self._plugged = monitors_plugged()
        self._clock.schedule_interval(lambda _: self._tick(), TICK)

    def _later(self, act: Callable[[], None]) -> None:
        """Do `act` on the thread of the window, at the next frame."""
        self._clock.schedule_once(lambda _: act())

    def _take_outcome(self, shown: Shown, answer: Answer | None) -> None:
        told = answer is None or answer.values or answer.settings or answer.engage
        if shown.status == "answered" and shown.place is None and told:
            # Of what only steers the conversation nobody wants to read an hour later.
            self._last = (shown.headline, shown.heard)
        self._take(of_outcome(shown, answer))

    def _take(self, content: Content) -> None:
        self._content = content
        self._since = time.monotonic()
        self._resting = (Rest.CONTENT, 0)
        if content.place:
            self._place = content.place
        self._anew()

    def _keep(self, phrases: tuple[str, ...], place: str) -> None:
        self._phrases = phrases
        self._place = place or self._place

    def _anew(self) -> None:
        """From the first page."""
        self._number = 0
        self._turning.cancel()
        self._turning()
        self._lay_out()

    def _tick(self) -> None:
        """Once a second: what stands on a screen that nobody asks, and which screens there are."""
        plugged = monitors_plugged()
        if plugged != self._plugged:
            self._plugged = plugged
            if plugged:
                self._come_back()
        quiet = time.monotonic() - self._since
        now = rest(self._content, quiet, self._ear, len(self._phrases), self._patience)
        turn: int | str = 0
        if now is Rest.HINTS:
            turn = int(quiet / self._patience.turn)
        elif now is Rest.SLEEP:
            turn = time.strftime("%H:%M")
        elif now is Rest.UNHEARD:
            turn = self._ear
        if (now, turn) != self._resting:
            self._resting = (now, turn)
            self._anew()

    def _now(self) -> Content:
        """What is to be seen: the content, or what stands in its place after a while."""
        now, turn = self._resting
        if now is Rest.HINTS and isinstance(turn, int):
            return of_hints(turned(self._phrases, turn, HINTS), self._place)
        if now is Rest.SLEEP:
            return of_sleep(str(turn), *self._last, self._place)
        if now is Rest.UNHEARD:
            key = "muted" if turn == "muted" else "deaf"
            name = self._talk_key or word("faults", "usual_key")
            return of_fault(word("faults", key), word("faults", f"{key}_remedy", key=name))
        return self._content

    def _come_back(self) -> None:
        """Fill the monitor again: one was unplugged or plugged in, and the window may be elsewhere."""
        from kivy.base import EventLoop

        window = EventLoop.window
        if window is None or not self._fullscreen:
            return
        window.restore()
        window.show()
        window.fullscreen = False
        window.left = window.top = placed_on(self._monitor)
        window.fullscreen = "auto"
        window.raise_window()

    def _hear(self, state: str) -> None:
        if state != self._ear:
            self._ear = state
            self._lay_out()

    def _legibility(self, width: int, height: int) -> Legibility:
        return Legibility(self._distance, screen_height(self._diagonal, width, height), height)

    def _lay_out(self) -> None:
        """Make the pages anew for what there is to show and the size of the window."""
        if self._sheet is None:
            return
        from display.typeface import measure

        width, height = (int(side) for side in self._sheet.size)
        paper = Paper(width, height, self._legibility(width, height), measure)
        if not paper.legibility.enough(width):
            # While monitors change a window may be tiny for a moment: keep what is there.
            return
        try:
            self._pages = compose(self._now(), paper, self._ear)
            self._draw()
        except ValueError:
            # A page that can not be made must not end a session: the last one stays.
            _LOG.exception("nothing can be shown on %d x %d px", width, height)

    def _draw(self) -> None:
        if self._sheet is not None and self._pages:
            self._number %= len(self._pages)
            self._sheet.show(self._pages[self._number], self._scheme)

    def _turn(self) -> None:
        """The next page, if there are several."""
        if len(self._pages) > 1:
            self._number += 1
            self._draw()

    def _key_down(self, window: Any, key: int, *_: Any) -> bool:
        if key not in self._held:
            self._held.add(key)
            self._tell(self.on_key, _key_name(key))
        return False

    def _key_up(self, window: Any, key: int, *_: Any) -> bool:
        self._held.discard(key)
        self._tell(self.on_release, _key_name(key))
        return False

    def _tell(self, hook: OnKey | None, name: str) -> None:
        if hook is not None:
            hook(name)


def _key_name(key: int) -> str:
    """Kivy's name of a key code: 'spacebar', 'enter', 'f1', 'b', …; the number where it has none."""
    from kivy.core.window import Keyboard

    return next((name for name, code in Keyboard.keycodes.items() if code == key), str(key))


def placed_on(monitor: int) -> int:
    """The place of a window in the middle of a monitor, counted from 1, in SDL's terms.

    >>> hex(placed_on(2))
    '0x2fff0001'
    """
    return _ON_MONITOR | max(0, monitor - 1)


def _configure(monitor: int) -> None:
    """Have the window opened on a monitor; SDL takes the first where there is none such."""
    from kivy.config import Config

    place = str(placed_on(monitor))
    for name, value in (("position", "custom"), ("left", place), ("top", place)):
        Config.set("graphics", name, value)
    # Words are pictures and the edges of shapes are smooth already: more samples cost time alone.
    Config.set("graphics", "multisamples", "0")
