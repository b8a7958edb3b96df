"""The design that travels inside a build sheet: a PDF's attachment, read back.

The attachment holds the bytes of the design's own file. Their SHA-256 stands beside them under
:data:`HASH_KEY`, so that a design which was changed on its way is not taken for the one that was
printed. PDFium does the reading; it is loaded with the first PDF.
"""

import ctypes
import hashlib
from pathlib import Path
from typing import Any, NoReturn

from designer.model.faults import DesignError, Fault
from designer.model.pdfium import PDFIUM

PDF_SUFFIX = ".pdf"
ATTACHMENT_SUFFIX = ".rill"
HASH_KEY = "RillwrightSHA256"
"""Where the SHA-256 of the design's bytes stands, in hexadecimal, among the parameters of the
embedded file (ISO 32000-1, table 46)."""

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


def _refuse(place: str, text: str) -> NoReturn:
    raise DesignError([Fault(place, text)])
