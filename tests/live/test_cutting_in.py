"""The voice is cut short by a key at once and by a loud word; it is never taken for a question itself."""

import threading
import time

import pytest
from gpiozero.pins.mock import MockFactory

from assistant.speaking.espeak import EspeakVoice
from assistant.talk_line import TalkLine
from assistant.talking import Talking, Way
from tests.live.conftest import Starter, spoken, wait_for
from tests.live.virtual_card import VirtualCard, with_quiet

SILENT = 200
"""Of a loudspeaker, 16 bit."""
AT_ONCE = 0.15
ANSWER = (
    "put the lever a to three and the lever b to two. close the half nut on numbered lines only"
)


class Saying(threading.Thread):
    """The voice says something long, meanwhile."""

    def __init__(self, voice: EspeakVoice) -> None:
        super().__init__()
        self._voice = voice
        self.to_the_end = True
        self.start()

    def run(self) -> None:
        self.to_the_end = self._voice.say(ANSWER)


@pytest.mark.parametrize("how", ["a key", "the switch on a line"])
def test_a_key_silences_the_loudspeaker_at_once(
    card: VirtualCard, started: Starter, pins: MockFactory, how: str
) -> None:
    """From the key to the last sound that leaves the loudspeaker; the best of some, on a busy machine."""
    voice = EspeakVoice()
    loop, _ = started(voice, talking=Talking(Way.PEDAL))
    line = TalkLine("17", loop.key, loop.key_released)
    waits: list[float] = []
    with card.quiet_room(), card.heard_from_speaker() as pieces:
        for _ in range(3):
            before = len(pieces)
            speaking = Saying(voice)
            wait_for(
                lambda before=before: sum(loud > SILENT for _, loud in pieces[before:]) > 30,
                "the voice",
            )
            pressed = time.monotonic()
            if how == "a key":
                loop.key("spacebar")
            else:
                pins.pin(17).drive_low()
            speaking.join()
            time.sleep(0.4)
            heard_last = max(at for at, loud in pieces if loud > SILENT)
            waits.append(heard_last - pressed)
            assert not speaking.to_the_end
            pins.pin(17).drive_high()
            if waits[-1] < AT_ONCE:
                break
    line.close()
    assert min(waits) < AT_ONCE, waits


def test_the_own_voice_in_the_room_is_no_question_and_a_loud_stop_ends_it(
    card: VirtualCard, started: Starter
) -> None:
    """The microphone hears the loudspeaker, as in a shop."""
    card.loudspeaker_heard_in_room(0.5)
    _, view = started(EspeakVoice(volume=0.2))
    with card.quiet_room(), card.heard_from_speaker() as pieces:
        wait_for(lambda: "listening" in view.ears, "the open ear")
        with card.playing(with_quiet(spoken("half_inch_thirteen.wav"), 0.1)):
            wait_for(lambda: any(loud > SILENT for _, loud in pieces), "the voice")
        begun = time.monotonic()
        time.sleep(0.8)
        card.play_into_room(spoken("stop.wav"))
        wait_for(lambda: view.ears[-1] == "listening", "the end of the voice")
        last = max(at for at, loud in pieces if loud > SILENT)
    assert last - begun < 5, "the answer was spoken to its end"
    assert [shown.heard for shown in view.shown] == ["half inch thirteen"]
