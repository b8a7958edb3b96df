"""The design that travels inside a build sheet: a PDF's attachment, read back.

The attachment holds the bytes of the design's own file. Their SHA-256 stands beside them under
:data:`HASH_KEY`, so that a design which was changed on its way is not taken for the one that was
printed. PDFium does the reading; it is loaded with the first PDF.
"""

import ctypes
import hashlib
import re
import zlib
from pathlib import Path
from typing import Any, NoReturn

from designer.model.faults import DesignError, Fault
from designer.model.pdfium import PDFIUM

PDF_SUFFIX = ".pdf"
ATTACHMENT_SUFFIX = ".rill"
HASH_KEY = "RillwrightSHA256"
"""Where the SHA-256 of the design's bytes stands, in hexadecimal, among the parameters of the
embedded file (ISO 32000-1, table 46)."""

_PACKED = re.compile(rb"stream\r?\n(?=[\x08\x18\x28\x38\x48\x58\x68\x78])")
"""Where a stream begins whose first byte is one of zlib's (RFC 1950)."""
_PIECE = 1 << 16
"""Bytes unpacked at a time."""
_MOST_STREAMS = 5000
"""A page has one; the sheets of 1,000 buckets are some hundred."""
_LOCKED = (4, 5)
"""PDFium's numbers for a password that is asked for and for a protection it does not know."""
_OTHER_COPY = "ask for another copy of it, or for the design's own file (.rill)"


def is_pdf(data: bytes, path: Path) -> bool:
    """Whether a file is to be read as a PDF, by its first bytes or its name."""
    return data.startswith(b"%PDF-") or path.suffix.lower() == PDF_SUFFIX


def design_in_pdf(data: bytes, most: int) -> bytes:
    """The bytes of the design that a PDF carries, at most `most` of them.

    Raises DesignError where there is none, or not the one that was put there.
    """
    import pypdfium2

    if _is_overfull(data, most):
        _refuse("it", "holds more than a build sheet can; open one that Rillwright made")
    with PDFIUM:
        try:
            document = pypdfium2.PdfDocument(data)
        except pypdfium2.PdfiumError as error:
            if getattr(error, "err_code", None) in _LOCKED:
                _refuse("it", "is locked with a password; ask for a copy without one")
            _refuse("it", f"is damaged, or not a PDF; {_OTHER_COPY}")
        try:
            found, expected = _attached(document, most)
        except (pypdfium2.PdfiumError, UnicodeDecodeError):
            found, expected = b"", "unreadable"
        finally:
            document.close()
    if hashlib.sha256(found).hexdigest() != expected:
        text = f"was damaged, or changed since Rillwright put it there; {_OTHER_COPY}"
        _refuse("the design in it", text)
    return found


def _attached(document: Any, most: int) -> tuple[bytes, str]:
    """The one attached design and the SHA-256 that stands beside it."""
    from pypdfium2 import raw

    attached = [document.get_attachment(i) for i in range(document.count_attachments())]
    designs = [one for one in attached if one.get_name().lower().endswith(ATTACHMENT_SUFFIX)]
    if not designs:
        text = "holds no Rillwright design; open one that Rillwright made, or a design's own file"
        _refuse("it", f"{text} ({ATTACHMENT_SUFFIX})")
    if len(designs) > 1:
        text = f"holds {len(designs)} designs; save the one you want with a PDF viewer, from its "
        _refuse("it", f"{text}list of attached files, and open that")
    design = designs[0]
    size = ctypes.c_ulong()
    raw.FPDFAttachment_GetFile(design, None, 0, size)
    if size.value > most:
        _refuse("the design in it", f"is larger than {most // 1_000_000} MB; {_OTHER_COPY}")
    return bytes(design.get_data()), design.get_str_value(HASH_KEY)


def _is_overfull(data: bytes, most: int) -> bool:
    """Whether a PDF has more streams, or more bytes in them when unpacked, than we ever write.

    PDFium unpacks up to a gigabyte before it can be asked how much it is.
    """
    total, view = 0, memoryview(data)
    for number, start in enumerate(_PACKED.finditer(data)):
        if total > most or number == _MOST_STREAMS:
            return True
        total += _unpacked_size(view[start.end() :], most - total)
    return total > most


def _unpacked_size(packed: memoryview | bytes, most: int, layers: int = 3) -> int:
    """The size of one packed stream; of one packed more than once, the largest of its layers."""
    unpacker, total = zlib.decompressobj(), 0
    try:
        for at in range(0, len(packed), _PIECE):
            waiting: memoryview | bytes = packed[at : at + _PIECE]
            while waiting and not unpacker.eof and total <= most:
                piece = unpacker.decompress(waiting, _PIECE)
                inner = _unpacked_size(piece, most, layers - 1) if layers and not total else 0
                total += max(len(piece), inner)
                waiting = unpacker.unconsumed_tail
            if unpacker.eof or total > most:
                break
    except zlib.error:
        pass  # damaged, or not packed after all
    return total


def _refuse(place: str, text: str) -> NoReturn:
    raise DesignError([Fault(place, text)])
