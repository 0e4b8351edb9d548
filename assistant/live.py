"""`swarfside` alone: microphone, recogniser, answer, screen, voice, until the view is closed."""

from __future__ import annotations

import threading
from pathlib import Path

from assistant.app import Assistant, welcome_lines
from assistant.errors import DeviceError
from assistant.hearing.recogniser import Recogniser
from assistant.live_loop import LiveLoop
from assistant.recognition import recogniser
from assistant.speaking.earcons import Earcons
from assistant.speaking.voice import Voice
from assistant.talk_line import TalkLine
from assistant.talking import Talking, Way
from assistant.views import shop_talk_key, shop_talk_line, view_for
from display.view import View


def run_live(
    assistant: Assistant,
    display: str | None,
    engine: str,
    model: Path | None,
    talk: str,
    distance: str | None,
    screen: str | None,
    keep_audio: Path | None,
    talk_key: str | None = None,
    earcons: bool = True,
    microphone: str | None = None,
    operator: str | None = None,
    scheme: str | None = None,
    monitor: int | None = None,
    talk_line: str | None = None,
) -> int:
    """Runs until the view is closed.

    talk       : 'open', 'pedal' or 'wake'
    talk_key   : name of the one key that opens the ear; None for the usual ones
    earcons    : False for no tones
    microphone : part of its name; None for the usual one
    operator   : whose voice it is, learned before; None for anybody's
    scheme     : 'dark' or 'light'; None as the shop's settings say
    monitor    : which one is filled, from 1; None as the shop's settings say
    talk_line  : GPIO line of a foot switch; None as the shop's settings say

    A line that is not to be had is told on the screen, and the other ways of talking go on.

    Raises DeviceError where no recogniser or view can start, or there never was a microphone, or
    nothing else than a line that is not to be had could open the ear.
    """
    if talk not in tuple(Way):
        raise DeviceError("ear", f"--talk {talk} is not possible", "choose open, pedal or wake")

    def new_ear() -> Recogniser:
        return recogniser(engine, model)

    ear = new_ear()
    assistant.listen_with(ear)
    view = view_for(display, distance, screen, scheme, monitor)
    view.welcome(list(welcome_lines()))
    loop = LiveLoop(
        assistant,
        ear,
        view,
        _voice(view),
        Talking(Way(talk), talk_key or shop_talk_key()),
        keep_audio,
        microphone,
        Earcons(earcons),
        new_ear,
    )
    if operator is not None:
        loop.operator_is(operator)
    view.on_key = loop.key
    # A view without keys has no hook for their release either.
    if hasattr(view, "on_release"):
        view.on_release = loop.key_released
    line = _talk_line(talk_line or shop_talk_line(), loop, view, Way(talk))
    threading.Thread(target=loop.run, name="live", daemon=True).start()
    try:
        view.run()
    except KeyboardInterrupt:
        view.close()
    finally:
        if line is not None:
            line.close()
    loop.stop()
    if loop.fault is not None and not loop.heard_a_microphone:
        raise loop.fault
    return 0


def _talk_line(line: str | None, loop: LiveLoop, view: View, way: Way) -> TalkLine | None:
    """The foot switch; None where no line is asked for, or it is not to be had and that is shown."""
    if line is None:
        return None
    try:
        return TalkLine(line, loop.key, loop.key_released)
    except DeviceError as fault:
        # A view without keys: nothing would ever open the ear.
        if way is Way.PEDAL and not hasattr(view, "on_release"):
            raise
        view.fault(fault.problem, fault.remedy)
        return None


def _voice(view: View) -> Voice:
    """The loudspeaker's voice; it looks for an output at each sentence, so one may come later."""
    from assistant.speaking.espeak import EspeakVoice
    from assistant.speaking.playback import output_available

    if not output_available():
        view.fault("there is no sound output", "plug a loudspeaker in; answers are shown meanwhile")
    return EspeakVoice()
