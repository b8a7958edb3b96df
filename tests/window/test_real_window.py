"""The program in a real window on a virtual screen, used with mouse and keys only."""

import contextlib
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from designer.model.file import read_design
from designer.resources import sample_paths

NEEDED = ("Xvfb", "openbox", "xdotool")
_missing = [name for name in NEEDED if shutil.which(name) is None]
pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(bool(_missing), reason=f"needs {', '.join(_missing)} on the path"),
]
PATIENCE = 60.0
"""Seconds until a thing that does not happen counts as failed; never a measure of speed."""


class Person:
    """A person at the virtual screen."""

    def __init__(self, environment: dict[str, str], report: Path) -> None:
        self._environment = environment
        self._report = report

    def sees(self) -> dict[str, Any]:
        with contextlib.suppress(FileNotFoundError):
            seen: dict[str, Any] = json.loads(self._report.read_text())
            return seen
        return {"title": "", "active": "", "samples": [], "buckets": {}}

    def waits_for(self, what: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
        """Look until something is so; the last look is told where it never is."""
        end = time.monotonic() + PATIENCE
        while not what(seen := self.sees()):
            assert time.monotonic() < end, seen
            time.sleep(0.1)
        return seen

    def does(self, *words: str | int) -> None:
        command = ["xdotool", *(str(word) for word in words)]
        subprocess.run(command, env=self._environment, check=True, timeout=PATIENCE)

    def clicks(self, at: list[int]) -> None:
        self.does("mousemove", "--sync", *at, "click", 1)

    def presses(self, keys: str) -> None:
        self.does("key", "--clearmodifiers", keys)

    def types(self, text: str) -> None:
        self.does("type", "--clearmodifiers", "--delay", 5, text)

    def drags(self, at: list[int], right: int) -> None:
        self.does("mousemove", "--sync", *at, "mousedown", 1)
        for step in range(1, 9):
            self.does("mousemove", "--sync", at[0] + right * step // 8, at[1])
        self.does("mouseup", 1)


@pytest.fixture
def screen(tmp_path: Path) -> Iterator[dict[str, str]]:
    """A virtual screen with a window frame of its own; the environment to start programs on it."""
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x800x24", "-nolisten", "tcp"],
        pass_fds=(writing,),
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    with os.fdopen(reading) as answer:
        number = answer.readline().strip()
    assert number, "the virtual screen did not start"
    environment = os.environ | {"DISPLAY": f":{number}", "QT_QPA_PLATFORM": "xcb"}
    environment |= {"PYTHONPATH": str(Path.cwd()), "HOME": str(tmp_path)}
    frame = subprocess.Popen(["openbox"], env=environment, stderr=subprocess.DEVNULL)
    yield environment
    for process in (frame, server):
        process.terminate()
        process.wait(PATIENCE)


@pytest.fixture
def start(screen: dict[str, str], tmp_path: Path) -> Iterator[Callable[..., Person]]:
    """Starts the program, with a file or without."""
    started: list[subprocess.Popen[bytes]] = []

    def begin(*arguments: Path) -> Person:
        report = tmp_path / "seen.json"
        script = Path(__file__).with_name("real_program.py")
        command = [sys.executable, str(script), str(report), *map(str, arguments)]
        started.append(subprocess.Popen(command, env=screen))
        return Person(screen, report)

    yield begin
    for program in started:
        program.kill()
        program.wait(PATIENCE)


def test_a_sample_is_opened_dragged_undone_saved_and_exported(
    start: Callable[..., Person], tmp_path: Path
) -> None:
    person = start()
    first = person.waits_for(lambda seen: seen["samples"] and seen["active"])
    person.clicks(first["samples"][0])
    before = person.waits_for(lambda seen: seen["buckets"])
    time.sleep(0.5)  # until the sheet has come to rest under the pointer
    before = person.sees()

    bucket = min(before["buckets"])
    stood = before["buckets"][bucket]["station"]
    person.drags(before["buckets"][bucket]["at"], right=-45)
    moved = person.waits_for(lambda seen: seen.get("undo"))
    assert moved["buckets"][bucket]["station"] > stood + 20
    assert moved["modified"]

    person.presses("ctrl+z")
    undone = person.waits_for(lambda seen: not seen.get("undo"))
    assert undone["buckets"][bucket]["station"] == stood
    assert not undone["modified"]
    person.presses("ctrl+y")
    person.waits_for(lambda seen: seen.get("undo"))

    target = tmp_path / "mine.rill"
    person.presses("ctrl+s")
    person.waits_for(lambda seen: seen["active"].startswith("Save the design"))
    person.presses("ctrl+a")
    person.types(str(target))
    person.presses("Return")
    saved = person.waits_for(lambda seen: seen["title"].startswith("mine"))
    assert not saved["modified"]
    written = read_design(target).design
    assert written != read_design(sample_paths()[0]).design
    (run,) = (run for run in written.runs if any(b.id == bucket for b in run.buckets))
    (kept,) = (b for b in run.buckets if b.id == bucket)
    assert run.length - kept.station == pytest.approx(moved["buckets"][bucket]["station"])

    person.presses("ctrl+e")
    person.waits_for(lambda seen: seen["active"].startswith("Export the build sheet"))
    person.presses("Return")
    sheet = tmp_path / "mine build sheet.pdf"
    person.waits_for(lambda _seen: sheet.exists())
    assert sheet.read_bytes().startswith(b"%PDF")


def test_closing_with_unsaved_changes_asks_and_escape_stays(
    start: Callable[..., Person], tmp_path: Path
) -> None:
    path = tmp_path / "bed.rill"
    path.write_bytes(sample_paths()[0].read_bytes())
    person = start(path)
    before = person.waits_for(lambda seen: seen["buckets"] and seen["active"])
    time.sleep(0.5)
    person.clicks(person.sees()["buckets"][min(before["buckets"])]["at"])
    person.presses("Delete")
    person.waits_for(lambda seen: seen["modified"])
    person.presses("ctrl+w")
    person.waits_for(lambda seen: seen["active"] == "Rillwright")
    person.presses("Escape")
    person.waits_for(lambda seen: seen["active"].startswith("bed"))
    assert person.sees()["modified"]
    assert path.read_bytes() == sample_paths()[0].read_bytes()
