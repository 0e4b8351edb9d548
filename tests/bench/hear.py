"""Real-time factor of recognition, and the time from end of speech to drawn answer and first spoken sample."""

from __future__ import annotations

import resource
import statistics
import time
from importlib.resources import as_file, files

from assistant.app import Assistant
from assistant.demo import sounds
from assistant.hearing.recogniser import SAMPLE_RATE
from assistant.hearing.wav import read_wav
from assistant.recognition import recogniser, reply_to
from assistant.speaking.espeak import EspeakVoice

TARGET = 0.1
PIECE = SAMPLE_RATE // 10


def run() -> None:
    assistant = Assistant()
    ear = recogniser("sphinx")
    begun = time.perf_counter()
    assistant.listen_with(ear)
    print(
        f"grammar: {len(assistant.grammar.acceptor().transitions)} states, loaded in {time.perf_counter() - begun:.2f} s"
    )
    voice = EspeakVoice()
    factors, ends, shown, spoken, right = [], [], [], [], 0
    for name in sounds():
        with as_file(files("assistant.demo_sounds").joinpath(name)) as path:
            samples = read_wav(path)
        begun = time.process_time()
        ear.hear(samples)
        factors.append((time.process_time() - begun) / (samples.size / SAMPLE_RATE))
        ear.start()
        for start in range(0, samples.size, PIECE):
            ear.feed(samples[start : start + PIECE])
        begun = time.perf_counter()
        heard = ear.end()
        ends.append((time.perf_counter() - begun) * 1000)
        reply = reply_to(heard, assistant)
        right += reply.answered
        shown.append((time.perf_counter() - begun) * 1000)
        voice.sound(reply.shown.spoken)
        spoken.append((time.perf_counter() - begun) * 1000)
        assistant.refresh(ear)
    factor = statistics.mean(factors)
    print(f"sounds answered: {right} of {len(factors)}")
    print(
        f"real-time factor on one core: mean {factor:.3f}, worst {max(factors):.3f}; {factor / TARGET:.2f} of the target {TARGET}"
    )
    print("after the last piece of sound, median / worst, ms:")
    for label, values in (
        ("words", ends),
        ("answer in lines", shown),
        ("first spoken sample ready", spoken),
    ):
        print(f"  {label:26} {statistics.median(values):7.0f} {max(values):7.0f}")
    print(f"memory at most: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
