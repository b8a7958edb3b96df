"""The crash journal: what a crash leaves is offered again, what is open is not."""

import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from designer.model import saving
from designer.model.journal import Journal
from designer.model.saving import SaveError
from tests.model.test_file import TEXT, is_one_plain_sentence

WRITE_AND_CRASH = """
import os, sys
from pathlib import Path
from designer.model.journal import Journal
journal = Journal(Path(sys.argv[1]))
journal.write("first", Path("/home/me/Kasvihuone ö.rill"), "first text")
journal.write("second", None, "second text")
journal.write("saved", None, "saved text")
journal.discard("saved")
sys.stdout.write("written")
sys.stdout.flush()
if sys.argv[2] == "stay":
    sys.stdin.read()
os._exit(1)
"""


def other_process(folder: Path, then: str) -> subprocess.Popen[bytes]:
    """Another Rillwright that writes journals, then crashes or stays open."""
    process = subprocess.Popen(
        [sys.executable, "-c", WRITE_AND_CRASH, str(folder), then],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        cwd=Path(__file__).parents[2],
    )
    assert process.stdout is not None
    assert process.stdout.read(7) == b"written"
    return process


def test_what_a_crash_left_is_found_with_its_text_and_file(tmp_path: Path) -> None:
    with other_process(tmp_path, "crash"):
        pass
    journal = Journal(tmp_path)
    second, first = journal.abandoned()
    assert (first.document_key, first.text) == ("first", "first text")
    assert first.original_path == Path("/home/me/Kasvihuone ö.rill")
    assert (second.original_path, second.text) == (None, "second text")
    assert first.saved_at <= second.saved_at
    journal.drop(first)
    assert journal.abandoned() == (second,)
    journal.drop(first)
    journal.drop(second)
    assert list(tmp_path.iterdir()) == []


def test_a_design_open_in_another_window_is_not_offered(tmp_path: Path) -> None:
    with other_process(tmp_path, "stay") as process:
        assert Journal(tmp_path).abandoned() == ()
        process.kill()
        process.wait()
        assert len(Journal(tmp_path).abandoned()) == 2


def test_the_own_journal_is_not_offered_and_goes_with_discard(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "made" / "when needed")
    assert journal.abandoned() == ()
    journal.discard("bed")
    journal.write("bed", None, "old")
    journal.write("bed", tmp_path / "bed.rill", TEXT)
    assert journal.abandoned() == ()
    (file,) = (tmp_path / "made" / "when needed").iterdir()
    assert json.loads(file.read_bytes())["text"] == TEXT
    assert file.stat().st_mode & 0o777 == 0o600
    journal.discard("bed")
    assert not file.exists()


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="start times are read from /proc")
def test_a_later_process_with_the_same_number_does_not_hide_a_crash(tmp_path: Path) -> None:
    journal = Journal(tmp_path)
    for number in (os.getpid(), os.getppid()):
        journal.write("bed", None, TEXT)
        (file,) = tmp_path.iterdir()
        record = json.loads(file.read_bytes())
        file.unlink()
        left = tmp_path / f"left-{number}.rill-journal"
        left.write_text(json.dumps({**record, "process": number, "started": "1"}))
        assert [entry.text for entry in journal.abandoned()] == [TEXT]
        journal.drop(journal.abandoned()[0])


@pytest.mark.parametrize("content", ["", "[]", "{}", "null", '{"process": "x"}', "\x00" * 9])
def test_a_damaged_journal_is_passed_over(tmp_path: Path, content: str) -> None:
    (tmp_path / "x.rill-journal").write_text(content)
    assert Journal(tmp_path).abandoned() == ()


def test_a_journal_that_cannot_be_written_says_so_and_keeps_the_one_before(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal = Journal(tmp_path)
    journal.write("bed", None, "before")
    (file,) = tmp_path.iterdir()
    before = file.read_bytes()

    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(saving.os, "write", full)
    with pytest.raises(SaveError) as caught:
        journal.write("bed", None, "after")
    assert is_one_plain_sentence(caught.value.message)
    assert [entry.read_bytes() for entry in tmp_path.iterdir()] == [before]
