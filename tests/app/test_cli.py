"""The commands, as another program calls them."""

import gc
import json
import os
import subprocess
import sys
import wave
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.app import Assistant
from assistant.cli import app, main
from assistant.query import Query

ROOT = Path(__file__).parent.parent.parent
PROGRAM = "from assistant.cli import main; main()"


def run(*arguments: str, text: str | None = None) -> Result:
    return CliRunner().invoke(app, list(arguments), input=text)


def process(*arguments: str, text: str = "") -> subprocess.CompletedProcess[str]:
    """As a process of its own: what `main` adds, and nothing of this one's state."""
    return subprocess.run(
        [sys.executable, "-c", PROGRAM, *arguments],
        cwd=ROOT,
        input=text,
        capture_output=True,
        text=True,
    )


def test_an_answer_as_json_has_the_parts_that_others_rely_on() -> None:
    done = run("ask", "thirteen threads per inch", "--json")
    assert done.exit_code == 0
    got = json.loads(done.stdout)
    assert got["heard"] == "thirteen threads per inch"
    assert got["status"] == "answered"
    assert got["query"]["kind"] == "thread"
    assert got["headline"] == "13 per inch"
    assert got["values"]["pitch"] == {"value": 1.953846, "unit": "mm", "exact": "127/65"}
    assert got["engage"] == {
        "keep_closed": False,
        "marks": ["1", "2", "3", "4"],
        "every": 8,
        "dial_teeth": 32,
        "pick_off_gear": None,
    }
    assert {"label", "text"} == set(got["rows"][0])
    assert set(got["moves"][0]) == {"lever", "to", "when"}
    assert got["setting"]["feed"]
    assert got["spoken"]
    assert got["sources"]


def test_parts_that_are_absent_are_left_out() -> None:
    got = json.loads(run("ask", "seven sixteenths in millimetres", "--json").stdout)
    assert not {"moves", "engage", "setting", "gears", "question", "cautions"} & set(got)


class Called:
    """Runs `main` in this process: the same way in as from a shell, without the seconds of a start."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self._monkeypatch, self._capsys = monkeypatch, capsys

    def __call__(self, *arguments: str) -> tuple[int, str, str]:
        """Exit status, and what was written to the two outputs."""
        self._monkeypatch.setattr(sys, "argv", ["swarfside", *arguments])
        usual = gc.get_threshold()
        try:
            with pytest.raises(SystemExit) as ended:
                main()
        finally:
            gc.set_threshold(*usual)
        return int(ended.value.code or 0), *self._capsys.readouterr()


@pytest.fixture
def called(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Called:
    monkeypatch.chdir(ROOT)
    return Called(monkeypatch, capsys)


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["ask", "make me some coffee"], 1),
        (["ask", "M12x8"], 1),
        (["ask", "when do I close the half nut"], 1),
        (["ask", ""], 1),
        (["ask"], 2),
        (["ask", "x", "--session"], 2),
        (["ask", "x", "--units", "furlong"], 2),
        (["phrases", "--kind", "nothing"], 1),
        (["lathes"], 0),
        (["check-profile", "profiles/heron.yaml"], 0),
        (["check-profile", "profiles/nowhere.yaml"], 1),
    ],
)
def test_exit_status(arguments: list[str], status: int, called: Called) -> None:
    got, out, err = called(*arguments)
    assert got == status, (out, err)
    assert status != 1 or (out + err).strip()


@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (["ask", "thirteen threads per inch"], 0),
        (["ask", "13 tpi", "--lathe", "nowhere"], 1),
        (["hear", "nowhere.wav"], 1),
        (["bogus"], 2),
    ],
)
def test_exit_status_of_a_process(arguments: list[str], status: int) -> None:
    done = process(*arguments)
    assert done.returncode == status, done
    assert "Traceback" not in done.stderr
    assert status != 1 or (done.stdout + done.stderr).strip()


def test_without_a_microphone_the_live_loop_says_so(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, "--display", "none"],
        cwd=ROOT,
        env={
            **os.environ,
            "PULSE_SERVER": f"unix:{tmp_path / 'nothing.sock'}",
            "ALSA_CONFIG_PATH": "/dev/null",
        },
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == 1
    assert done.stderr.strip().splitlines() == [
        "there is no microphone: plug one in or switch it on; it is tried again"
    ]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--talk", "shout"], "--talk shout is not possible: choose open, pedal or wake"),
        (["--engine", "vosk"], "no Vosk model was named: give the folder"),
        (["hear", "x.wav", "--engine", "vosk"], "no Vosk model was named"),
    ],
)
def test_what_cannot_start_is_told_in_one_sentence(
    arguments: list[str], words: str, called: Called
) -> None:
    status, _, err = called(*arguments)
    assert status == 1
    assert words in err
    assert len(err.strip().splitlines()) == 1


def test_a_session_carries_memory_from_line_to_line() -> None:
    done = run("ask", "--session", "--json", text="half inch thirteen\n\nwhich line\nfoo\n")
    lines = [json.loads(line) for line in done.stdout.splitlines()]
    assert [line["status"] for line in lines] == ["answered", "answered", "not-understood"]
    assert lines[1]["engage"]["marks"] == ["1", "2", "3", "4"]
    assert done.exit_code == 1


def test_the_working_shows_the_formula_with_these_figures() -> None:
    done = run("ask", "speed for brass two inch carbide", "--working")
    assert "n = 1000 v / (pi d) = 1000 x" in done.stdout
    assert "50.8" in done.stdout
    assert "source:" in done.stdout


def test_units_choose_how_figures_are_written() -> None:
    inch = json.loads(
        run("ask", "speed for brass two inch carbide", "--units", "inch", "--json").stdout
    )
    metric = json.loads(
        run("ask", "speed for brass two inch carbide", "--units", "mm", "--json").stdout
    )
    assert inch["values"] == metric["values"]
    assert "ft/min" in str(inch["rows"])
    assert "m/min" in str(metric["rows"])


def test_sampled_phrases_are_the_same_for_the_same_seed_and_all_parse() -> None:
    def sampled(*options: str) -> list[str]:
        return run("phrases", "--sample", "40", *options).stdout.splitlines()

    assert sampled("--kind", "speed", "--seed", "7") == sampled("--kind", "speed", "--seed", "7")
    assert sampled("--kind", "speed", "--seed", "8") != sampled("--kind", "speed", "--seed", "7")
    grammar = Assistant("heron").grammar
    for kind in ("speed", "thread"):
        lines = sampled("--kind", kind)
        assert len(lines) == 40
        for line in lines:
            query = grammar.read(line, "mm")
            assert isinstance(query, Query), line
            assert query.kind == kind
    lines = sampled("--seed", "7")
    assert len(lines) == 40
    assert all(isinstance(grammar.read(line, "mm"), Query) for line in lines)


def test_the_voice_alone_writes_a_sound(tmp_path: Path) -> None:
    out = tmp_path / "said.wav"
    assert run("say", "thirteen threads per inch", "--out", str(out)).exit_code == 0
    with wave.open(str(out)) as sound:
        assert sound.getnframes() / sound.getframerate() > 0.8


def test_the_voice_says_where_it_cannot_write(called: Called) -> None:
    status, _, err = called("say", "hello", "--out", "/nowhere/said.wav")
    assert status == 1
    assert "cannot be written" in err


@pytest.mark.parametrize("kind", ["text", "empty", "directory"])
def test_a_file_that_is_no_sound_is_told_in_one_sentence(
    kind: str, tmp_path: Path, called: Called
) -> None:
    file = tmp_path / "sound.wav"
    if kind == "text":
        file.write_text("no sound")
    elif kind == "empty":
        file.write_bytes(b"")
    else:
        file.mkdir()
    # The ear makes no difference to a file that holds nothing for it: the one that is there at once.
    status, out, err = called("hear", str(file), "--json", "--engine", "sphinx")
    assert status == 1
    assert json.loads(out)["status"] == "refused"
    assert len(err.strip().splitlines()) == 1


def test_a_broken_profile_of_the_shop_is_named_and_the_others_go_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, called: Called
) -> None:
    (tmp_path / "otter.yaml").write_text("name: otter\n")
    monkeypatch.setenv("SWARFSIDE_PROFILES", str(tmp_path))
    status, out, err = called("lathes")
    assert status == 1
    assert "heron" in out
    assert "otter.yaml" in err
    assert called("ask", "13 tpi")[0] == 0
