"""Saving: the old design or the new one is there under its name, whatever happens."""

import errno
import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest

from designer.model import saving
from designer.model.file import format_design, previous_save, read_design
from designer.model.saving import ChangedOutsideError, SaveError, fingerprint, save
from tests.model.test_file import BED, is_one_plain_sentence

LATER = replace(BED, title="Three tomatoes")
OLD, NEW = format_design(BED).encode(), format_design(LATER).encode()


@pytest.fixture
def bed(tmp_path: Path) -> Path:
    """A design's file in a folder of its own."""
    path = tmp_path / "bed.rill"
    path.write_bytes(OLD)
    return path


def refusal(path: Path, design: object = LATER) -> str:
    """The sentence of a save that fails; it leaves the folder as it was."""
    before = contents(path.parent)
    with pytest.raises(SaveError) as caught:
        save(design, path)
    assert contents(path.parent) == before
    assert is_one_plain_sentence(caught.value.message), caught.value.message
    return caught.value.message


def contents(folder: Path) -> dict[str, bytes]:
    """The files of a folder, hidden ones too."""
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}


def test_a_first_save_writes_the_file_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "a bed without ending"
    mark = save(BED, path)
    assert contents(tmp_path) == {path.name: OLD}
    assert mark == fingerprint(path) == read_design(path).fingerprint
    mask = os.umask(0o022)
    os.umask(mask)
    assert path.stat().st_mode & 0o777 == 0o666 & ~mask


def test_the_save_before_stays_beside_the_file(bed: Path) -> None:
    save(LATER, bed)
    assert contents(bed.parent) == {"bed.rill": NEW, "bed.previous.rill": OLD}
    save(replace(BED, title="Four"), bed)
    assert previous_save(bed).read_bytes() == NEW


def test_saving_the_same_design_again_keeps_the_save_before(bed: Path) -> None:
    save(LATER, bed)
    save(LATER, bed)
    assert contents(bed.parent) == {"bed.rill": NEW, "bed.previous.rill": OLD}


def test_a_link_is_followed_and_the_mode_is_kept(bed: Path, tmp_path: Path) -> None:
    bed.chmod(0o640)
    (tmp_path / "links").mkdir()
    link = tmp_path / "links" / "link.rill"
    link.symlink_to(bed)
    save(LATER, link)
    assert link.is_symlink()
    assert bed.read_bytes() == NEW
    assert bed.stat().st_mode & 0o777 == 0o640
    assert previous_save(bed).read_bytes() == OLD


def test_a_file_changed_outside_is_not_written_over_unasked(bed: Path) -> None:
    opened = read_design(bed)
    bed.write_bytes(NEW)
    newest = replace(BED, title="Mine")
    with pytest.raises(ChangedOutsideError) as caught:
        save(newest, bed, opened.fingerprint)
    assert is_one_plain_sentence(caught.value.message)
    assert contents(bed.parent) == {"bed.rill": NEW}
    mark = save(newest, bed)
    assert mark == save(newest, bed, mark)
    assert previous_save(bed).read_bytes() == NEW


def test_a_file_taken_away_outside_is_written_again(bed: Path) -> None:
    mark = read_design(bed).fingerprint
    bed.unlink()
    assert fingerprint(bed) is None
    save(BED, bed, mark)
    assert bed.read_bytes() == OLD


def test_a_design_that_could_not_be_opened_again_is_not_saved(bed: Path) -> None:
    broken = replace(BED, runs=(replace(BED.runs[0], bucket="pail-5gl"),))
    assert refusal(bed, broken).startswith("'bed.rill' was not saved: run 'North bed' asks for")
    endless = replace(BED, runs=(replace(BED.runs[0], pitch=float("inf")),))
    assert "not finite" in refusal(bed, endless)
    tiny = replace(BED, runs=(replace(BED.runs[0], pitch=0.0001),))
    assert "pitch is 0, but must be above 0" in refusal(bed, tiny)


@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EROFS])
@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_full_or_failing_disk_leaves_the_old_file(
    bed: Path, monkeypatch: pytest.MonkeyPatch, call: str, code: int
) -> None:
    def failing(*_: object) -> int:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(saving.os, call, failing)
    message = refusal(bed)
    assert message.startswith("'bed.rill' was not saved: ")
    assert "disk" in message


def test_a_disk_that_fills_up_half_way_leaves_the_old_file(
    bed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written = os.write
    calls = 0

    def filling(handle: int, data: memoryview) -> int:
        nonlocal calls
        calls += 1
        if calls > 3:
            raise OSError(errno.ENOSPC, "No space left on device")
        return written(handle, data[:700])

    monkeypatch.setattr(saving.os, "write", filling)
    assert refusal(bed) == (
        "'bed.rill' was not saved: the disk is full; free some space and save again."
    )


def test_a_real_limit_on_file_sizes_leaves_the_old_file(bed: Path) -> None:
    with (
        file_size_limit(1000),
        pytest.raises(SaveError, match="does not take a file of this size"),
    ):
        save(LATER, bed)
    assert contents(bed.parent) == {"bed.rill": OLD}


@contextmanager
def file_size_limit(size: int) -> Iterator[None]:
    """The system's own limit on the size of a file this process writes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_a_save_that_fails_keeps_the_save_before(
    bed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    previous_save(bed).write_bytes(b"much earlier")
    for step in range(1, 4):
        with monkeypatch.context() as patch:
            patch.setattr(saving.os, "fsync", failing_at(step))
            if step < 3:
                refusal(bed)
            else:
                save(LATER, bed)  # flushing the folder is not possible everywhere
    assert contents(bed.parent) == {"bed.rill": NEW, "bed.previous.rill": OLD}


def failing_at(step: int) -> Callable[[int], None]:
    """An fsync that fails at its nth call."""
    calls = iter(range(1, 100))

    def fsync(_: int) -> None:
        if next(calls) == step:
            raise OSError(errno.EIO, "Input/output error")

    return fsync


def test_short_writes_are_carried_on(bed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written = os.write
    monkeypatch.setattr(saving.os, "write", lambda handle, data: written(handle, data[:100]))
    save(LATER, bed)
    assert bed.read_bytes() == NEW


def test_the_last_step_failing_leaves_the_old_file(
    bed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(*_: object) -> None:
        raise PermissionError(errno.EACCES, "in use")

    monkeypatch.setattr(Path, "replace", failing)
    assert "you may not write there" in refusal(bed)


def test_a_folder_that_may_not_be_written_to_is_named_as_the_cause(
    bed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(**_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(saving.tempfile, "mkstemp", failing)
    assert refusal(bed) == (
        "'bed.rill' was not saved: you may not write there; save it in a folder of your own."
    )


def test_a_read_only_file_is_not_replaced(bed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bed.chmod(0o444)
    # The superuser may write everywhere, so the answer is given here as for anybody else.
    monkeypatch.setattr(saving.os, "access", lambda path, mode: False)
    assert "the file is read-only" in refusal(bed)


def test_places_that_cannot_hold_a_file_are_refused(bed: Path) -> None:
    (bed.parent / "folder.rill").mkdir()
    assert "a folder has this name" in refusal(bed.parent / "folder.rill")
    assert "its folder is a file" in refusal_elsewhere(bed / "inner.rill")
    assert "name is too long" in refusal(bed.parent / ("x" * 300))
    assert "not an ordinary file" in refusal_elsewhere(Path("/dev/full"))
    assert "the folder is not there" in refusal_elsewhere(bed.parent / "gone" / "bed.rill")
    assert "no file name may hold" in refusal(bed.parent / "a\0b")


def refusal_elsewhere(path: Path) -> str:
    """The sentence of a save that fails in a folder that cannot be looked into."""
    with pytest.raises(SaveError) as caught:
        save(LATER, path)
    assert is_one_plain_sentence(caught.value.message), caught.value.message
    return caught.value.message


def test_what_a_killed_save_left_is_cleared_later_but_not_at_once(bed: Path) -> None:
    stale, fresh = bed.parent / ".rillwright-a.saving", bed.parent / ".rillwright-b.saving"
    stale.touch()
    fresh.touch()
    os.utime(stale, (time.time() - 7200, time.time() - 7200))
    save(LATER, bed)
    assert not stale.exists()
    assert fresh.exists()


SAVE_IN_A_LOOP = """
import sys
from dataclasses import replace
from designer.model.file import read_design
from designer.model.saving import save
path = sys.argv[1]
design = read_design(path).design
titles = ("Two tomatoes", "Three tomatoes")
print("ready", flush=True)
while True:
    for title in titles:
        save(replace(design, title=title), path)
"""


@pytest.mark.slow
def test_a_save_killed_100_times_leaves_the_old_or_the_new_file(bed: Path) -> None:
    rng = random.Random(7)
    found = set()
    for _ in range(100):
        found |= kill_while_saving(bed, rng.uniform(0.0, 0.03))
    # Both were seen, so the kills did strike while saving.
    assert found == {OLD, NEW}


def kill_while_saving(bed: Path, after: float) -> set[bytes]:
    """Kill a process that saves again and again; the contents seen under the name meanwhile."""
    process = subprocess.Popen(
        [sys.executable, "-c", SAVE_IN_A_LOOP, str(bed)],
        stdout=subprocess.PIPE,
        cwd=Path(__file__).parents[2],
    )
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    end = time.monotonic() + after
    seen = set()
    while time.monotonic() < end:
        seen.add(bed.read_bytes())  # the name is never missing, not even for an instant
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()
    seen.add(bed.read_bytes())
    assert seen <= {OLD, NEW}
    assert not previous_save(bed).exists() or previous_save(bed).read_bytes() in (OLD, NEW)
    return seen
