"""What a PDF says of itself: title, maker, date, metadata, page labels and identifier."""

from collections.abc import Sequence
from xml.sax.saxutils import escape

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFName, PDFStream
from reportlab.pdfgen.canvas import Canvas

from designer import __version__

MAKER = f"Rillwright {__version__}"
TEMPLATE_PREFIX = "T"
"""Before the number of a template page in the viewer's list of pages."""

_XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<dc:format>application/pdf</dc:format>
<dc:language><rdf:Bag><rdf:li>en</rdf:li></rdf:Bag></dc:language>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
<xmp:CreatorTool>{maker}</xmp:CreatorTool>
<xmp:CreateDate>{date}T00:00:00Z</xmp:CreateDate>
<xmp:ModifyDate>{date}T00:00:00Z</xmp:ModifyDate>
<pdf:Producer>{producer}</pdf:Producer>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""


def describe(canvas: Canvas, title: str, subject: str, date: str) -> None:
    """Title, subject, maker and date (YYYY-MM-DD) of a file; nobody is named as its author."""
    stamp = f"D:{date.replace('-', '')}000000+00'00'"
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor("")
    canvas.setCreator(MAKER)
    canvas.setDateFormatter(lambda *_: stamp)
    words = {"title": title, "subject": subject, "maker": MAKER, "date": date}
    words["producer"] = canvas._doc.info.producer
    packet = _XMP.format(**{name: escape(value) for name, value in words.items()})
    kind = PDFDictionary({"Type": PDFName("Metadata"), "Subtype": PDFName("XML")})
    # Not compressed, so that programs that know nothing of PDF can read it (14.3.2).
    canvas.setCatalogEntry("Metadata", PDFStream(kind, packet.encode("utf-8"), []))


def label_pages(canvas: Canvas, are_templates: Sequence[bool]) -> None:
    """Number sheets as their title blocks do and template pages T1, T2, ... (12.4.2)."""
    for index, is_template in enumerate(are_templates):
        if index and is_template == are_templates[index - 1]:
            continue
        if is_template:
            canvas.addPageLabel(index, "ARABIC", 1, TEMPLATE_PREFIX)
        else:
            canvas.addPageLabel(index, "ARABIC", index + 1)


def identify(canvas: Canvas) -> None:
    """Make the file's identifier (14.4) follow from what is on its pages; call it last."""
    document = canvas._doc
    for page in document.Pages.pages:
        document.updateSignature(page.stream)
