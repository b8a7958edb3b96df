"""Saving a design so that nothing is ever lost.

The text is written in full beside the file and put in its place in one step: whatever happens,
the old or the new design is there under its name. What was there before stays beside it.
"""

import errno
import os
import tempfile
import time
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from designer.model.design import Design
from designer.model.faults import DesignError
from designer.model.file import (
    SUFFIX,
    fingerprint_of,
    format_design,
    parse_design,
    previous_save,
    shown_path,
)
from designer.model.pdf_file import PDF_SUFFIX

_LEFTOVER_AGE = 3600.0
"""Seconds after which the unfinished file of a save that was killed is cleared away."""

_REASONS = {
    errno.ENOSPC: "the disk is full; free some space and save again",
    errno.EDQUOT: "your share of the disk is full; free some space and save again",
    errno.EFBIG: "the disk does not take a file of this size; save to another disk",
    errno.EACCES: "you may not write there; save it in a folder of your own",
    errno.EPERM: "you may not write there; save it in a folder of your own",
    errno.EROFS: "the disk is read-only; save it to another disk",
    errno.ENOENT: "the folder is not there any more; save it in another folder",
    errno.ENOTDIR: "its folder is a file; save it in a real folder",
    errno.EISDIR: "a folder has this name; save it under another name",
    errno.ENAMETOOLONG: "the name is too long; save it under a shorter name",
    errno.ELOOP: "the name is a link that leads back to itself; save it under another name",
}


class SaveError(Exception):
    """A save that did not happen; the file is as it was. `message` is one sentence."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class ChangedOutsideError(SaveError):
    """The file was changed by another program since it was read or last saved."""


def save(design: Design, path: str | Path, expected: str | None = None) -> str:
    """Save a design and return the fingerprint of the file as it is now.

    `expected` is the fingerprint from reading or the last save: where the file has since become
    another one, ChangedOutsideError is raised and nothing is written; leave it out to overwrite.
    Raises SaveError where the design cannot be saved.
    """
    path = Path(path)
    opening = f"{shown_path(path)} was not saved: "
    if path.suffix.lower() == PDF_SUFFIX:
        raise SaveError(f"{opening}that is a PDF's name; save it under one that ends in {SUFFIX}.")
    try:
        text = format_design(design)
        parse_design(text)
    except DesignError as error:
        first = error.message[0].lower() + error.message[1:]
        raise SaveError(f"{opening}{first}") from None
    data = text.encode("utf-8")
    try:
        target = Path(os.path.realpath(path))
        if target.is_dir():
            raise OSError(errno.EISDIR, "is a folder")
        if target.exists() and not target.is_file():
            raise SaveError(f"{opening}that is not an ordinary file; save it under another name.")
        before = target.read_bytes() if target.exists() else None
        if before is not None and not os.access(target, os.W_OK):
            raise SaveError(f"{opening}the file is read-only; save it under another name.")
        if expected and before is not None and fingerprint_of(before) != expected:
            raise ChangedOutsideError(
                f"{opening}another program changed it since you opened it; save it under another "
                "name, or open it again."
            )
        if before != data:
            contents = [(previous_save(target), before)] if before is not None else []
            write_in_one_step([*contents, (target, data)], _mode_for(target))
    except OSError as error:
        raise SaveError(f"{opening}{reason_for(error)}.") from None
    except ValueError:
        raise SaveError(f"{opening}its name holds a character no file name may hold.") from None
    return fingerprint_of(data)


def fingerprint(path: str | Path) -> str | None:
    """The fingerprint of a file as it is on the disk now; None where it cannot be read."""
    try:
        return fingerprint_of(Path(path).read_bytes())
    except (OSError, ValueError):
        return None


def reason_for(error: OSError) -> str:
    """Why a write failed and what to do about it, as a clause."""
    reason = _REASONS.get(error.errno or 0)
    return reason or f"the disk refused it ({(error.strerror or 'unknown reason').lower()})"


def write_in_one_step(contents: Sequence[tuple[Path, bytes]], mode: int) -> None:
    """Put contents under names of one folder, each at once and on the disk for good.

    At every moment each name holds the old content or the new; none is touched before all are
    written. Raises OSError, with no unfinished file left behind.
    """
    folder = contents[0][0].parent
    _clear_leftovers(folder)
    unfinished: list[Path] = []
    try:
        for _, data in contents:
            handle, name = tempfile.mkstemp(dir=folder, prefix=".rillwright-", suffix=".saving")
            unfinished.append(Path(name))
            try:
                _write_all(handle, data)
            finally:
                os.close(handle)
            unfinished[-1].chmod(mode)
        for (target, _), written in zip(contents, unfinished, strict=True):
            written.replace(target)
    except BaseException:
        for written in unfinished:
            written.unlink(missing_ok=True)
        raise
    _flush_folder(folder)


def _write_all(handle: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]
    os.fsync(handle)


def _mode_for(target: Path) -> int:
    if target.exists():
        return target.stat().st_mode & 0o777
    # The mask of a process can only be read by setting it.
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _clear_leftovers(folder: Path) -> None:
    with suppress(OSError):
        for leftover in folder.glob(".rillwright-*.saving"):
            if time.time() - leftover.stat().st_mtime > _LEFTOVER_AGE:
                leftover.unlink()


def _flush_folder(folder: Path) -> None:
    # The new name is safe on the disk once its folder is; not every system can flush a folder.
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
