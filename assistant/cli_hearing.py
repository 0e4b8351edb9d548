"""The commands about hearing; no logic here."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console

app = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
_out = Console(highlight=False, soft_wrap=True)

MicrophoneOption = Annotated[
    str | None, typer.Option("--microphone", help="Part of the microphone's name.")
]
TalkKeyOption = Annotated[
    str | None, typer.Option("--talk-key", help="The one key or pedal that opens the ear, e.g. f5.")
]
TalkLineOption = Annotated[
    str | None,
    typer.Option("--talk-line", help="GPIO line of a foot switch to ground, e.g. 17 (BCM number)."),
]
EarconsOption = Annotated[
    bool, typer.Option("--earcons/--no-earcons", help="Tones for listening, heard, not understood.")
]
OperatorOption = Annotated[
    str | None, typer.Option("--operator", help="Whose voice it is; learned with learn-voice.")
]


@app.command("sound-check")
def sound_check(
    microphone: MicrophoneOption = None,
    engine: Annotated[str, typer.Option("--engine", help="best, sphinx or vosk.")] = "best",
    model: Annotated[Path | None, typer.Option("--model", help="Folder of a Vosk model.")] = None,
) -> None:
    """Microphone level, noise and a few phrases to read; says in words what is wrong."""
    from assistant import sound_check as checking
    from assistant.app import Assistant
    from assistant.recognition import recogniser

    assistant = Assistant()
    ear = recogniser(engine, model)
    assistant.listen_with(ear)

    def say(line: str) -> None:
        _out.print(line, markup=False)

    well = checking.sound_check(assistant, ear, say, microphone)
    raise typer.Exit(0 if well else 1)


@app.command("learn-voice")
def learn_voice(
    name: Annotated[str, typer.Argument(help="Your name, as it is said: 'this is NAME'.")],
    microphone: MicrophoneOption = None,
    from_files: Annotated[
        Path | None,
        typer.Option("--from-files", help="Folder of WAV files named by their words."),
    ] = None,
    engine: Annotated[
        str, typer.Option("--engine", help="The one that you work with: best, sphinx or vosk.")
    ] = "best",
    model: Annotated[Path | None, typer.Option("--model", help="Folder of a Vosk model.")] = None,
) -> None:
    """Ten read sentences fit the ear to one voice; tells whether it helped."""
    from assistant import learning
    from assistant.app import Assistant
    from assistant.hearing.operators import keep, known_name, operator_folder
    from assistant.recognition import recogniser

    def say(line: str) -> None:
        _out.print(line, markup=False)

    operator = known_name(name)
    assistant = Assistant()
    ear = recogniser(engine, model)
    assistant.listen_with(ear)
    if from_files is not None:
        read = learning.read_from_files(from_files)
    else:
        read = list(learning.read_aloud(assistant, ear, say, microphone))
    learned = learning.learn(operator, read, assistant, ear)
    learning.report(learned, read, say)
    say(f"Kept in {keep(learned.operator, operator_folder())}")
