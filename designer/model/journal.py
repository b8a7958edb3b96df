"""The crash journal: what was not saved yet, kept aside while the program runs.

Each open design has one journal, written over every few seconds. A journal whose process is gone
is what a crash left behind, to be offered at the next start.
"""

import hashlib
import json
import os
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from designer.model.saving import SaveError, reason_for, write_in_one_step

_SUFFIX = ".rill-journal"


@dataclass(frozen=True, slots=True)
class Abandoned:
    """What a crash left: the design's text, the file it belongs to, when, and the journal.

    `saved_at` is in seconds since 1970; `original_path` is None for a design never saved.
    """

    document_key: str
    original_path: Path | None
    saved_at: float
    text: str
    journal: Path


class Journal:
    """The journals in one folder, which is made when first needed."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def write(self, document_key: str, original_path: Path | None, text: str) -> None:
        """Keep the text of a design. Raises SaveError, with the journal before still there."""
        record = {
            "key": document_key,
            "process": os.getpid(),
            "started": _started(os.getpid()),
            "time": time.time(),
            "path": None if original_path is None else str(original_path),
            "text": text,
        }
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            content = json.dumps(record).encode()
            write_in_one_step([(self._path(document_key), content)], 0o600)
        except OSError as error:
            reason = reason_for(error)
            raise SaveError(f"Unsaved work could not be kept aside: {reason}.") from None

    def discard(self, document_key: str) -> None:
        """Drop this process's journal of a design, once it is saved or closed."""
        _remove(self._path(document_key))

    def drop(self, abandoned: Abandoned) -> None:
        """Drop what a crash left, once the person has it back or does not want it."""
        _remove(abandoned.journal)

    def abandoned(self) -> tuple[Abandoned, ...]:
        """What crashes left behind, newest first; a journal that cannot be read is passed over."""
        found = [_read(path) for path in self._folder.glob(f"*{_SUFFIX}")]
        return tuple(sorted(filter(None, found), key=lambda entry: -entry.saved_at))

    def _path(self, document_key: str) -> Path:
        digest = hashlib.sha256(document_key.encode("utf-8", "surrogatepass")).hexdigest()
        # The start time keeps a later process of the same number from writing over a leftover.
        return self._folder / f"{digest[:16]}-{os.getpid()}-{_started(os.getpid())}{_SUFFIX}"


def _read(path: Path) -> Abandoned | None:
    try:
        record = json.loads(path.read_bytes())
        process, started = int(record["process"]), record["started"]
        if process == os.getpid() and started == _started(process):
            return None
        if process != os.getpid() and _is_running(process) and started == _started(process):
            return None
        original = None if record["path"] is None else Path(record["path"])
        return Abandoned(
            str(record["key"]), original, float(record["time"]), str(record["text"]), path
        )
    except (OSError, ValueError, LookupError, TypeError):
        return None


def _started(process: int) -> str:
    """A mark of when a process started, in the system's ticks; empty where none is to be had."""
    with suppress(OSError, IndexError):
        # Field 22; the second field, the program's name in brackets, may itself hold blanks.
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[19]
    return ""


def _is_running(process: int) -> bool:
    if process <= 0:
        return False
    if sys.platform == "win32":
        import ctypes

        # On Windows os.kill ends the process it asks about, so ask the system itself.
        system = ctypes.windll.kernel32
        handle = system.OpenProcess(0x0010_0000, False, process)  # SYNCHRONIZE
        if not handle:
            return False
        waits = system.WaitForSingleObject(handle, 0) == 0x102  # WAIT_TIMEOUT: not ended
        system.CloseHandle(handle)
        return bool(waits)
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True


def _remove(path: Path) -> None:
    with suppress(OSError):
        path.unlink()
