"""The design's file inside the PDF, so that who has the sheet has the design (ISO 32000-1, 7.11.4).

`designer.model.pdf_file` reads it back.
"""

import hashlib
from dataclasses import dataclass

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFCatalog,
    PDFDictionary,
    PDFName,
    PDFStream,
    PDFString,
    PDFText,
    PDFZCompress,
)
from reportlab.pdfgen.canvas import Canvas

from designer.model.file import fingerprint_of
from designer.model.pdf_file import HASH_KEY

DESCRIPTION = "The design of this bed. Open the PDF in Rillwright to go on with it."


@dataclass(frozen=True)
class Attachment:
    """A file to go into a PDF: its name and its bytes."""

    name: str
    data: bytes


def attach(canvas: Canvas, attachment: Attachment) -> None:
    """Put the design's file into the PDF, as its only attachment and as its source."""
    document, data = canvas._doc, attachment.data
    facts = {
        "Size": len(data),
        "CheckSum": PDFText(hashlib.md5(data, usedforsecurity=False).digest(), enc="raw"),
        HASH_KEY: PDFString(fingerprint_of(data)),
    }
    kind = {
        "Type": PDFName("EmbeddedFile"),
        "Subtype": PDFName("application/json"),
        "Params": PDFDictionary(facts),
    }
    stream = document.Reference(PDFStream(PDFDictionary(kind), data, [PDFZCompress]))
    specification = document.Reference(
        PDFDictionary(
            {
                "Type": PDFName("Filespec"),
                "F": PDFString(attachment.name),
                "UF": PDFString(attachment.name),
                "EF": PDFDictionary({"F": stream, "UF": stream}),
                "Desc": PDFString(DESCRIPTION),
                "AFRelationship": PDFName("Source"),
            }
        )
    )
    names = PDFDictionary({"Names": PDFArray([PDFString(attachment.name), specification])})
    canvas.setCatalogEntry("Names", {"EmbeddedFiles": names})
    # reportlab writes the members of a catalogue that it knows of; this one (ISO 32000-2) not.
    document.Catalog.__NoDefault__ = [*PDFCatalog.__NoDefault__, "AF"]
    canvas.setCatalogEntry("AF", [specification])
