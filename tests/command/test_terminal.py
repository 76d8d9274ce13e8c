"""Pipes that close, a full disk, terminals of few characters, Ctrl-C and bare options, by real processes."""

from __future__ import annotations

import io
import os
import re
import signal
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

import pytest

from helpers.patience import WAIT_S
from slopebeat.__main__ import main

ROOT = Path(__file__).resolve().parents[2]
WALK = ROOT / "samples" / "lake_shore_walk.gpx"
REVIEW = ("review", str(WALK), "--band", "112-131")

pytestmark = pytest.mark.skipif(os.name != "posix", reason="pipes, devices and signals as POSIX has them")


def started(*arguments: str, **keywords: object) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-m", "slopebeat", *arguments]
    return subprocess.Popen(command, stderr=subprocess.PIPE, **keywords)  # type: ignore[call-overload, no-any-return]


@pytest.mark.parametrize("arguments", [REVIEW, (*REVIEW, "--json", "-"), ("review", "--help")], ids=len)
def test_a_pipe_nobody_reads_is_no_trouble(arguments: tuple[str, ...]) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with started(*arguments, stdout=writing) as process:
        os.close(writing)
        told = process.communicate(timeout=WAIT_S)[1]
    assert told == b""
    # 128 and the number of SIGPIPE, which is how a shell tells of programs that do not handle it.
    assert process.returncode == 141


def test_a_report_into_a_closed_pipe_is_no_trouble_either() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with started(*REVIEW, "--html", "/dev/stdout", stdout=writing) as process:
        os.close(writing)
        told = process.communicate(timeout=WAIT_S)[1]
    assert (told, process.returncode) == (b"", 141)


@pytest.mark.parametrize("arguments", [REVIEW, (*REVIEW, "--json", "-"), ("review", "--help")], ids=len)
def test_a_full_disk_under_standard_output_is_a_sentence(arguments: tuple[str, ...]) -> None:
    with open("/dev/full", "wb") as full, started(*arguments, stdout=full) as process:
        told = process.communicate(timeout=WAIT_S)[1].decode()
    assert told == "The answer could not be written: No space left on device.\n"
    assert process.returncode == 2


def test_output_that_was_closed_is_a_sentence_and_errors_nobody_hears_are_none() -> None:
    shell = ["/bin/sh", "-c", 'exec "$@" >&-', "sh", sys.executable, "-m", "slopebeat", *REVIEW]
    done = subprocess.run(shell, stderr=subprocess.PIPE, timeout=WAIT_S, check=False)
    assert (done.returncode, b"could not be written" in done.stderr) == (2, True)
    shell[2] = 'exec "$@" 2>&-'
    shell[-1] = "none"
    done = subprocess.run(shell, stdout=subprocess.PIPE, timeout=WAIT_S, check=False)
    assert (done.returncode, done.stdout) == (2, b"")


TITLE = "Über → Řím 日"
"""A letter of each kind, and one that is none."""


@pytest.fixture
def named(tmp_path: Path) -> Path:
    """A walk with that title, which a review shows on top."""
    text = WALK.read_text(encoding="utf-8")
    path = tmp_path / "named.gpx"
    path.write_text(re.sub("<name>.*?</name>", f"<name>{TITLE}</name>", text), encoding="utf-8")
    return path


def test_characters_a_terminal_lacks_are_replaced(named: Path) -> None:
    place = {**os.environ, "PYTHONIOENCODING": "ascii"}
    command = [sys.executable, "-m", "slopebeat", "review", str(named), "--band", "112-131"]
    done = subprocess.run(
        [*command, "--language", "de"], env=place, capture_output=True, timeout=WAIT_S, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert TITLE.encode("ascii", "replace") in done.stdout


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "latin-1", "utf-8"])
@pytest.mark.parametrize("language", ["en", "de"])
def test_each_encoding_keeps_what_it_has(
    encoding: str, language: str, named: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same on a stream of that encoding; the process above shows that standard output is one."""
    taken = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(taken, encoding=encoding))
    assert main(["review", str(named), "--band", "112-131", "--language", language]) == 0
    assert TITLE.encode(encoding, "replace") in taken.getvalue()


@pytest.mark.parametrize("after_s", [0.08, 0.15, 0.25, 0.4, 0.6, 0.9])
def test_ctrl_c_ends_it_with_130_and_without_a_word(after_s: float, tmp_path: Path) -> None:
    """Held back during Python's own start, as the start beside the program does it, and then at any moment.

    The import reads through the walk again and again, so that it is under way whenever the signal comes.
    """
    many = tmp_path / "outings"
    many.mkdir()
    data = WALK.read_bytes()
    for number in range(200):
        (many / f"{number}.gpx").write_bytes(data + b"\n" * number)
    arguments = ("import", str(many), "--library", str(tmp_path / "library"), "--athlete", "hut warden")
    held_back = partial(signal.pthread_sigmask, signal.SIG_BLOCK, {signal.SIGINT})
    with started(*arguments, stdout=subprocess.PIPE, start_new_session=True, preexec_fn=held_back) as process:
        time.sleep(after_s)
        os.killpg(process.pid, signal.SIGINT)  # a terminal tells all processes of a command
        told = process.communicate(timeout=WAIT_S)[1].decode()
    assert "Traceback" not in told
    assert process.returncode == 130


def test_ctrl_c_while_a_dataclass_is_made_ends_with_130_too(tmp_path: Path) -> None:
    """Modules loaded late make their dataclasses from source text then; the interrupt meets one of them."""
    (tmp_path / "interrupted.py").write_text(
        "import sys\n"
        "import slopebeat.__main__ as program\n"
        "from slopebeat.command.terminal import at_terminal\n"
        "def work():\n"
        "    return at_terminal(lambda: exec('raise KeyboardInterrupt'))\n"
        "program._chosen = lambda arguments: work\n"
        "sys.exit(program.main([]))\n",
        encoding="utf-8",
    )
    command = [sys.executable, "-m", "interrupted"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, timeout=WAIT_S, check=False)
    assert (done.returncode, done.stderr) == (130, b"")


def test_an_option_without_a_command_gives_the_usage() -> None:
    with started("--x", stdout=subprocess.PIPE) as process:
        out, told = process.communicate(timeout=WAIT_S)
    assert (process.returncode, out) == (2, b"")
    assert b"slopebeat [-h]" in told
    assert b"Traceback" not in told


@pytest.mark.parametrize("arguments", [("--units", "metric"), ("--language", "de"), ("--units", "nonsense")])
def test_so_do_the_options_there_are(arguments: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(list(arguments)) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "slopebeat [-h]" in told.err


def test_the_start_beside_the_program_knows_which_calls_open_no_window() -> None:
    """A command unknown there would ask for a screen; so would an option, which never needs one."""
    from slopebeat.command.main import NAMES

    ask = "import sys; sys.path.insert(0, 'app'); import run; print(*sorted(run.COMMANDS))"
    done = subprocess.run(
        [sys.executable, "-c", ask], cwd=ROOT, capture_output=True, text=True, check=True, timeout=WAIT_S
    )
    assert done.stdout.split() == sorted(NAMES)


@pytest.mark.parametrize("stage", ["bootstrap", "program"])
def test_ctrl_c_at_the_start_beside_the_program(stage: str, tmp_path: Path) -> None:
    """While it sets up it ends at once; later the status is that of the program, which was told as well."""
    (tmp_path / "run.py").write_bytes((ROOT / "app" / "run.py").read_bytes())
    waits = "print('begun', flush=True); import threading; threading.Event().wait()"
    program = tmp_path / "program"
    lines = (
        f"#!{sys.executable}",
        "import signal, sys",
        "try:",
        "  signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT})",
        f"  {waits}",
        "except KeyboardInterrupt:",
        "  sys.exit(7)",
    )
    program.write_text("\n".join(lines))
    program.chmod(0o755)
    body = waits if stage == "bootstrap" else f"return {str(program)!r}"
    (tmp_path / "bootstrap.py").write_text(f"def prepare(**_offscreen):\n    {body}\n")
    command = [sys.executable, str(tmp_path / "run.py"), "review", "x"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True
    ) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"begun\n"
        os.killpg(process.pid, signal.SIGINT)
        told = process.communicate(timeout=WAIT_S)[1]
    assert (process.returncode, told) == (130 if stage == "bootstrap" else 7, b"")
