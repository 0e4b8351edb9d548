"""The live screen: one window, driven from any thread, drawn on the main one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, Final

from assistant.answer import Answer, Shown
from display.content import Content, of_fault, of_outcome, of_welcome
from display.layout import compose
from display.legibility import Legibility, screen_height
from display.page import Page
from display.page import Sheet as Paper
from display.theme import SCHEMES
from display.view import OnKey, known_ear_state
from display.window import KivyUnavailable, choose_screen

if TYPE_CHECKING:
    from display.sheet import Sheet

PAGE_SECONDS: Final = 6.0
"""How long each of several pages stands."""
TITLE: Final = "Swarfside"


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
    ) -> None:
        choose_screen()
        from kivy.clock import Clock

        self._clock: Any = Clock
        self._distance = distance_mm
        self._diagonal = diagonal_mm
        self._scheme = SCHEMES[scheme]
        self._fullscreen = fullscreen
        self._content: Content = of_welcome([TITLE])
        self._ear = "asleep"
        self._pages: tuple[Page, ...] = ()
        self._number = 0
        self._sheet: Sheet | None = None
        self._turning: Any = Clock.create_trigger(
            lambda _: self._turn(), PAGE_SECONDS, interval=True
        )
        self._held: set[int] = set()
        self.on_key: OnKey | None = None
        self.on_release: OnKey | None = None

    def show(self, shown: Shown, answer: Answer | None = None) -> None:
        """Show an outcome; `answer` brings the pictures of the thread dial and the levers."""
        self._later(lambda: self._take(of_outcome(shown, answer)))

    def fault(self, sentence: str, remedy: str) -> None:
        """Show what does not work and what to do about it."""
        self._later(lambda: self._take(of_fault(sentence, remedy)))

    def welcome(self, lines: Sequence[str]) -> None:
        """Show the lines to read before the work starts."""
        self._later(lambda: self._take(of_welcome(lines)))

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

        EventLoop.ensure_window()
        window = EventLoop.window
        if window is None:
            raise KivyUnavailable("no window can be opened on this screen")
        window.set_title(TITLE)
        window.show_cursor = False
        if self._fullscreen:
            window.fullscreen = "auto"
        width, height = (int(side) for side in window.system_size)
        self._legibility(width, height).require_enough(width)
        self._sheet = Sheet()
        self._sheet.bind(size=lambda *_: self._lay_out())
        window.bind(on_key_down=self._key_down, on_key_up=self._key_up)
        window.bind(on_touch_down=lambda *_: self._tell(self.on_key, "touch"))

    def _later(self, act: Callable[[], None]) -> None:
        """Do `act` on the thread of the window, at the next frame."""
        self._clock.schedule_once(lambda _: act())

    def _take(self, content: Content) -> None:
        self._content = content
        self._number = 0
        self._turning.cancel()
        self._turning()
        self._lay_out()

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
        self._pages = compose(self._content, paper, self._ear)
        self._draw()

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
