"""The commands; no logic here."""

from __future__ import annotations

import gc
import json
import random
import sys
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

from assistant.alsa_messages import silence
from assistant.cli_hearing import (
    EarconsOption,
    MicrophoneOption,
    OperatorOption,
    TalkKeyOption,
    TalkLineOption,
)
from assistant.cli_hearing import app as hearing_commands
from assistant.cli_jobs import app as job_commands
from assistant.cli_lathes import app as lathe_commands
from assistant.errors import AssistantError

app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
app.add_typer(lathe_commands)
app.add_typer(hearing_commands)
app.add_typer(job_commands)
_out = Console(highlight=False, soft_wrap=True)
_err = Console(stderr=True, highlight=False, soft_wrap=True)


class Units(StrEnum):
    """Units of the answers."""

    mm = "mm"
    inch = "inch"


class Engine(StrEnum):
    """Recognisers."""

    best = "best"
    sphinx = "sphinx"
    vosk = "vosk"


class Display(StrEnum):
    """Where answers are shown."""

    kivy = "kivy"
    terminal = "terminal"
    none = "none"


LatheOption = Annotated[
    str | None, typer.Option("--lathe", help="Profile by name, or a YAML file.")
]
UnitsOption = Annotated[Units | None, typer.Option("--units", help="Units of the answers.")]
JsonOption = Annotated[bool, typer.Option("--json", help="One JSON object for each question.")]
EngineOption = Annotated[Engine, typer.Option("--engine", help="Recogniser.")]
ModelOption = Annotated[Path | None, typer.Option("--model", help="Folder of a Vosk model.")]


MemoryOption = Annotated[
    Path | None, typer.Option("--memory", help="File that memory and jobs are kept in.")
]


def _assistant(lathe: str | None, units: Units | None, memory: Path | None = None):  # type: ignore[no-untyped-def]
    from assistant.app import Assistant

    store = None
    if memory is not None:
        from assistant.alongside.store import Store

        store = Store(memory)
    return Assistant(lathe, units.value if units else None, store)


@app.callback(invoke_without_command=True)
def live(
    context: typer.Context,
    lathe: LatheOption = None,
    units: UnitsOption = None,
    display: Annotated[Display | None, typer.Option("--display")] = None,
    engine: EngineOption = Engine.best,
    model: ModelOption = None,
    talk: Annotated[
        str, typer.Option("--talk", help="open: listens all the time; pedal; wake: by a phrase.")
    ] = "open",
    distance: Annotated[
        str | None, typer.Option("--distance", help="From reader to screen, e.g. 4m.")
    ] = None,
    screen: Annotated[
        str | None, typer.Option("--screen", help="Size of the screen, e.g. 32in.")
    ] = None,
    keep_audio: Annotated[
        Path | None, typer.Option("--keep-audio", help="Folder to keep sound in.")
    ] = None,
    scheme: Annotated[str | None, typer.Option("--scheme", help="dark or light.")] = None,
    monitor: Annotated[
        int | None, typer.Option("--monitor", min=1, help="Which monitor to fill.")
    ] = None,
    memory: MemoryOption = None,
    forgetful: Annotated[
        bool, typer.Option("--forgetful", help="Keep nothing over a restart.")
    ] = False,
    talk_key: TalkKeyOption = None,
    earcons: EarconsOption = True,
    microphone: MicrophoneOption = None,
    operator: OperatorOption = None,
    talk_line: TalkLineOption = None,
) -> None:
    """Swarfside: ask at the lathe, be answered. Alone: the live loop of microphone, screen and voice."""
    if context.invoked_subcommand is None:
        from assistant.alongside.store import usual_file
        from assistant.live import run_live

        view = display.value if display else None
        raise typer.Exit(
            run_live(
                _assistant(lathe, units, None if forgetful else memory or usual_file()),
                view,
                engine.value,
                model,
                talk,
                distance,
                screen,
                keep_audio,
                talk_key,
                earcons,
                microphone,
                operator,
                scheme,
                monitor,
                talk_line,
            )
        )


@app.command()
def ask(
    words: Annotated[str | None, typer.Argument(help="The question, typed.")] = None,
    lathe: LatheOption = None,
    units: UnitsOption = None,
    as_json: JsonOption = False,
    working: Annotated[
        bool, typer.Option("--working", help="Show the formula with these figures.")
    ] = False,
    session: Annotated[
        bool, typer.Option("--session", help="One question a line on standard input.")
    ] = False,
    memory: MemoryOption = None,
) -> None:
    """One typed question; the very same path after recognition."""
    if (words is None) != session:
        _err.print("give a question, or --session with questions on standard input")
        raise typer.Exit(2)
    assistant = _assistant(lathe, units, memory)
    answered = True
    for line in [words] if words is not None else (line.strip() for line in sys.stdin):
        for reply in assistant.due():
            _print(reply, as_json)
        if not line and session:
            continue
        reply = assistant.reply(line or "")
        answered = answered and reply.answered
        _print(reply, as_json)
        if (working or reply.turn.with_working) and not as_json:
            _print_working(reply.shown)
    raise typer.Exit(0 if answered else 1)


@app.command()
def hear(
    files: Annotated[list[Path], typer.Argument(help="WAV files.")],
    lathe: LatheOption = None,
    units: UnitsOption = None,
    as_json: JsonOption = False,
    engine: EngineOption = Engine.best,
    model: ModelOption = None,
) -> None:
    """Recognise each file, then answer."""
    from assistant.recognition import hear_file, recogniser

    assistant = _assistant(lathe, units)
    ear = recogniser(engine.value, model)
    assistant.listen_with(ear)
    answered = True
    for file in files:
        try:
            reply = hear_file(file, ear, assistant)
        except AssistantError as fault:
            _fault(fault, as_json)
            answered = False
            continue
        answered = answered and reply.answered
        _print(reply, as_json)
    raise typer.Exit(0 if answered else 1)


@app.command()
def say(
    words: Annotated[str, typer.Argument(help="What to say.")],
    out: Annotated[Path, typer.Option("--out", help="WAV file to write.")],
) -> None:
    """The voice alone."""
    from assistant.speaking.espeak import EspeakVoice
    from grammar.written import Unreadable, words_of

    try:
        spoken = words_of(words)
    except Unreadable:
        spoken = words
    if not spoken.strip():
        _err.print("there is nothing to say")
        raise typer.Exit(1)
    EspeakVoice().save(spoken, out)
    _out.print(str(out))


@app.command()
def demo(
    display: Annotated[Display | None, typer.Option("--display")] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for the spoken answers.")
    ] = None,
) -> None:
    """The scripted spoken session on shipped sounds; needs no microphone, screen or speaker."""
    from assistant.demo import run_demo

    raise typer.Exit(run_demo(_assistant(None, None), display.value if display else None, out))


@app.command()
def phrases(
    kind: Annotated[str | None, typer.Option("--kind", help="Only this kind of question.")] = None,
    sample: Annotated[int, typer.Option("--sample", min=0, help="So many random sentences.")] = 0,
    seed: Annotated[int, typer.Option("--seed", help="Same number, same sentences.")] = 0,
    jsgf: Annotated[bool, typer.Option("--jsgf", help="The recogniser's grammar.")] = False,
) -> None:
    """What can be said, one line each."""
    grammar = _assistant(None, None).grammar
    if kind is not None and kind not in grammar.kinds():
        _err.print(f"there is no kind '{kind}'; there are {', '.join(grammar.kinds())}")
        raise typer.Exit(1)
    kinds = None if kind is None else [kind]
    if jsgf:
        _out.print(grammar.jsgf(kinds), end="", markup=False)
    elif sample:
        sentences = grammar.sample(random.Random(seed), kinds)
        for _ in range(sample):
            _out.print(next(sentences), markup=False)
    else:
        for example in grammar.examples(kinds):
            _out.print(example, markup=False)


@app.command()
def lathes() -> None:
    """The profiles found, a line each."""
    from assistant.app import Assistant, profile_folder
    from profiles import load

    broken = False
    for name in load.names(profile_folder()):
        try:
            lathe = Assistant.find_lathe(name)
        except AssistantError as fault:
            broken = True
            _err.print(str(fault), markup=False)
        else:
            _out.print(f"{name}: {lathe.description}", markup=False)
    raise typer.Exit(1 if broken else 0)


def _print(reply, as_json: bool) -> None:  # type: ignore[no-untyped-def]
    from display.terminal import TerminalView

    if as_json:
        sys.stdout.write(json.dumps(reply.as_json(), ensure_ascii=False) + "\n")
        sys.stdout.flush()
    else:
        TerminalView(sys.stdout).show(reply.shown, reply.answer)


def _print_working(shown) -> None:  # type: ignore[no-untyped-def]
    for line in (*shown.working, *(f"source: {each}" for each in shown.sources)):
        _out.print(f"  {line}", markup=False)


def _fault(fault: AssistantError, as_json: bool) -> None:
    if as_json:
        sys.stdout.write(json.dumps({"status": "refused", "headline": str(fault)}) + "\n")
    _err.print(str(fault), markup=False)


def main() -> None:
    """Entry point: our own errors become one sentence and exit status 1."""
    silence()
    # Grammar and tables stay for good: to search them for rubbish again and again delays answers.
    gc.set_threshold(100_000, 20, 20)
    try:
        app()
    except AssistantError as fault:
        _err.print(str(fault), markup=False)
        raise SystemExit(1) from None
