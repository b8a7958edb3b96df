"""The design's file: text to Design and back.

A file is JSON: `"format"`, `"version"`, then the fields of Design in their order. Every fault of
a file is gathered in one DesignError. Files of an older version are brought up to date in memory.
"""

import hashlib
import json
import os
import stat
from collections.abc import Callable, Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pydantic import TypeAdapter, ValidationError

from designer.model.catalogue import Catalogue, load_catalogue
from designer.model.design import Design
from designer.model.faults import DesignError, Fault, faults_in_words, place_of
from designer.model.json_text import JsonError, RepeatedFieldError, format_json, parse_json
from designer.model.pdf_file import design_in_pdf, is_pdf
from designer.model.references import reference_faults

FORMAT = "rillwright design"
SUFFIX = ".rill"
MAX_BYTES = 50_000_000
"""A larger file is refused unread; a bed of 1,000 buckets takes about 0.1 MB."""

Migration = Callable[[dict[str, Any]], dict[str, Any]]
"""A pure function from a document of one version to one of the next."""

MIGRATIONS: Mapping[int, Migration] = MappingProxyType({1: dict})
"""By old version, 1 first and without gaps; what the program writes is one version further.

1 knew no `fill`; without it the fields' usual values hold, so nothing is moved."""

VERSION = 1 + len(MIGRATIONS)


@dataclass(frozen=True, slots=True)
class DesignFile:
    """A design as read, with the fingerprint of the bytes it was read from.

    `is_copy` says that it came out of a PDF, which is never saved over.
    """

    design: Design
    fingerprint: str
    is_copy: bool = False


def read_design(path: str | Path, catalogue: Catalogue | None = None) -> DesignFile:
    """Read a design from its own file or from a PDF that carries it.

    Raises DesignError, naming the file, whatever is wrong with it.
    """
    path = Path(path)
    opening = f"{shown_path(path)} cannot be opened: "
    try:
        data = _read_bytes(path)
        in_pdf = is_pdf(data, path)
        text = _decode(design_in_pdf(data, MAX_BYTES) if in_pdf else data)
        design = parse_design(text, catalogue)
    except DesignError as error:
        previous = previous_save(path)
        note = f"the save before it is beside it as {shown_path(previous)}"
        raise DesignError(error.faults, opening, note if _exists(previous) else "") from None
    return DesignFile(design, fingerprint_of(data), in_pdf)


def parse_design(
    text: str,
    catalogue: Catalogue | None = None,
    migrations: Mapping[int, Migration] = MIGRATIONS,
) -> Design:
    """The design that a text holds; parts are looked up in the shipped catalogue by default.

    Raises DesignError with every fault found.
    """
    document = _bring_up_to_date(_parse_document(text), migrations)
    design = _validate(document)
    faults = reference_faults(design, catalogue or load_catalogue())
    if faults:
        raise DesignError(faults)
    return design


def format_design(design: Design) -> str:
    """A design as the text of its file; the same design always gives the same text.

    Numbers are rounded to 0.001 (mm). Raises DesignError for a number that is not finite.
    """
    try:
        return format_json({"format": FORMAT, "version": VERSION, **_plain(design)})
    except ValueError:
        raise DesignError([Fault("the design", "holds a number that is not finite")]) from None


def previous_save(path: Path) -> Path:
    """Where saving keeps the design as it was before: `bed.previous.rill` beside `bed.rill`."""
    return path.with_name(f"{path.stem}.previous{path.suffix}") if path.name else path


def fingerprint_of(data: bytes) -> str:
    """What tells two contents of a file apart: their SHA-256 in hexadecimal."""
    return hashlib.sha256(data).hexdigest()


def shown_path(path: Path) -> str:
    """A file's name as shown in a sentence."""
    name = os.fsencode(path.name or str(path)).decode("utf-8", "replace")
    return "'" + "".join(letter if letter.isprintable() else "?" for letter in name) + "'"


def file_name(title: str) -> str:
    """A title made fit to be a file's name on any system."""
    kept = "".join(letter if letter.isalnum() or letter in " -_." else " " for letter in title)
    return " ".join(kept.split()).strip(". ")[:80] or "bed"


@cache
def design_adapter() -> TypeAdapter[Design]:
    """The validator of a design, built at first use."""
    return TypeAdapter(Design)


def _read_bytes(path: Path) -> bytes:
    if "\0" in str(path):
        raise _fault("its name", "holds a character that no file name may hold")
    try:
        # A pipe or a device would be read without end, so look before opening.
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise _fault("it", "is a folder; choose a file in it")
        if not stat.S_ISREG(mode):
            raise _fault("it", "is not an ordinary file; choose a design's file")
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise _fault("it", "is not there; look whether it was moved or renamed") from None
    except PermissionError:
        text = "do not have permission to read it; ask its owner, or copy it to your own folder"
        raise _fault("you", text) from None
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise _fault("the disk", f"refused to read it ({reason}); try a copy") from None
    if len(data) > MAX_BYTES:
        text = f"is larger than {MAX_BYTES // 1_000_000} MB, so it is not a Rillwright design"
        raise _fault("it", text)
    return data


def _exists(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _decode(data: bytes) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = "is not a Rillwright design, or is damaged: it does not hold plain UTF-8 text"
        raise _fault("it", text) from None


def _parse_document(text: str) -> dict[str, Any]:
    if not text.strip():
        raise _fault("the file", "is empty; open an earlier save of it")
    try:
        document = parse_json(text)
    except RepeatedFieldError as error:
        place = place_of(error.loc)
        raise _fault(place, f"gives the field '{error.field}' twice; remove one of them") from None
    except JsonError as error:
        raise _fault("the file", f"is not a Rillwright design, or is damaged: {error}") from None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        text = f'is not a Rillwright design: it does not begin with "format": "{FORMAT}"'
        raise _fault("the file", text)
    return document


def _bring_up_to_date(
    document: dict[str, Any], migrations: Mapping[int, Migration]
) -> dict[str, Any]:
    """The fields of Design, from a document of any version up to the newest one known."""
    newest = 1 + len(migrations)
    version = document.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise _fault("the file", 'has no version; it needs a whole number from 1 as "version"')
    if version > newest:
        text = f"was made by a newer Rillwright (file version {version}; this one reads up to "
        raise _fault("the file", f"{text}{newest}); open it with the newer one")
    members = {key: v for key, v in document.items() if key not in ("format", "version")}
    for old in range(version, newest):
        try:
            members = migrations[old](members)
        except (LookupError, TypeError, AttributeError, ValueError):
            text = f"is of the older version {old} and damaged, so it cannot be brought up to date"
            raise _fault("the file", text) from None
    return members


def _validate(document: dict[str, Any]) -> Design:
    # Strict reading takes lists for tuples and records for classes from JSON text only.
    try:
        return design_adapter().validate_json(json.dumps(document))
    except ValidationError as error:
        found = error.errors(include_url=False)
        raise DesignError(faults_in_words(found, document)) from None


def _plain(value: Any) -> Any:
    """A record as plain JSON data, without optional fields that are empty."""
    if is_dataclass(value):
        members = ((field, getattr(value, field.name)) for field in fields(value))
        return {
            field.name: _plain(member)
            for field, member in members
            if field.default is MISSING or member not in (None, "", ())
        }
    return [_plain(member) for member in value] if isinstance(value, tuple) else value


def _fault(place: str, text: str) -> DesignError:
    return DesignError([Fault(place, text)])
