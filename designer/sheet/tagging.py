"""Structure tags: what a page holds and in which order it is read (ISO 32000-1, 14.7 and 14.8).

Whatever is drawn is either part of an element (heading, paragraph, cell, figure) or an artifact
(frame, rule, page number), so that a screen reader tells the words of a sheet and leaves its lines
alone. Every function here only draws where the canvas was not started with :func:`start_tags`, and
inside another element's marks: a figure is one whole, but for what stands :func:`apart`.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFObject,
    PDFObjectReference,
    PDFPage,
    PDFString,
)
from reportlab.pdfbase.pdfdoc import format as format_member
from reportlab.pdfgen.canvas import Canvas

Box = tuple[float, float, float, float]
"""Left, bottom, right and top in points, as the canvas stands at the moment."""


class Element(PDFObject):  # type: ignore[misc]  # reportlab has no types
    """One element of the structure. `kind` is a standard structure type such as "P" or "Table"."""

    __RefOnly__ = 1

    def __init__(self, kind: str, parent: Element | None, alt: str = "", box: Box | None = None):
        self.kind, self.alt, self.box = kind, alt, box
        self.parent: Element | PDFObjectReference | None = parent
        self.kids: list[Element | PDFDictionary | int] = []
        self.page: PDFObjectReference | None = None

    def format(self, document: PDFDocument) -> bytes:
        """The element as it stands in the file. Tables have thousands, so each is kept short."""
        kids = self.kids[0] if len(self.kids) == 1 else PDFArray(self.kids)
        members = [b"/S/", self.kind, b"/P ", self.parent, b"/K ", kids]
        if self.page is not None:
            members += [b"/Pg ", self.page]
        if self.alt:
            members += [b"/Alt", PDFString(self.alt)]
        if self.kind == "TH":
            members += [b"/A<</O/Table/Scope/Column>>"]
        elif self.box is not None:
            members += [b"/A<</O/Layout/BBox", PDFArray(self.box), b">>"]
        return b"<<" + b"".join(format_member(member, document) for member in members) + b">>"


class Tags:
    """The structure of one canvas's file as it grows; the canvas keeps it as `tags`."""

    def __init__(self, canvas: Canvas) -> None:
        self.canvas = canvas
        self.top = Element("Document", None)
        self.open = [self.top]
        self.marking = False
        """Whether marks are open, of an element or an artifact."""
        self.on_page: list[Element] = []
        """The element of each marked piece of the present page, by its number (MCID)."""
        self.pages: list[list[Element]] = []
        self.links: list[tuple[Element, PDFDictionary, int]] = []
        """Each link's element, annotation and page, from 0."""

    def add(self, kind: str, alt: str = "", box: Box | None = None) -> Element:
        """A new element inside the one that is open."""
        made = Element(kind, self.open[-1], alt, box)
        self.open[-1].kids.append(made)
        return made

    def link(self, annotation: PDFDictionary) -> None:
        """Put a link, an annotation with "Dest", on the present page and into the open element."""
        element = self.open[-1] if self.open[-1].kind == "Link" else self.add("Link")
        element.page = self.canvas._doc.thisPageRef()
        self.links.append((element, annotation, len(self.pages)))

    def begin_piece(self, element: Element) -> None:
        """Begin a marked piece of an element, the page's next."""
        number = len(self.on_page)
        element.kids.append(number)
        self.on_page.append(element)
        self.open.append(element)
        self.marking = True
        self.canvas.addLiteral(f"/{element.kind} <</MCID {number}>> BDC")

    def end_piece(self) -> Element:
        """End the marked piece that is open, and return its element."""
        self.canvas.addLiteral("EMC")
        self.marking = False
        return self.open.pop()

    def page_done(self, _number: int) -> None:
        """Bind the page that was just finished to its elements."""
        page = self.canvas._doc.Pages.pages[-1]
        # reportlab writes the members of a page that it knows of; these two it does not.
        page.__NoDefault__ = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents = len(self.pages)
        page.Tabs = PDFName("S")
        self.pages.append(self.on_page)
        self.on_page = []


def start_tags(canvas: Canvas) -> None:
    """From now on gather the structure of what is drawn on a canvas that is still empty."""
    canvas.tags = Tags(canvas)
    canvas.setPageCallBack(canvas.tags.page_done)


def tags_of(canvas: Canvas) -> Tags | None:
    """The structure of a canvas; None where it has none."""
    return getattr(canvas, "tags", None)


@contextmanager
def group(canvas: Canvas, kind: str) -> Iterator[None]:
    """An element that only holds others: "Sect", "Table", "TR", "L", "LI". Left out when empty,
    but for the cells of a table."""
    tags = tags_of(canvas)
    if tags is None or tags.marking:
        yield
        return
    made = tags.add(kind)
    tags.open.append(made)
    yield
    tags.open.pop()
    if not made.kids and kind not in ("TH", "TD"):
        tags.open[-1].kids.pop()


@contextmanager
def marked(canvas: Canvas, kind: str, alt: str = "", box: Box | None = None) -> Iterator[None]:
    """What is drawn inside is one element: "H1" to "H3", "P", "TH", "TD", "LBody", "Caption".

    The page must not end inside. `alt` is said instead of what is drawn.
    """
    tags = tags_of(canvas)
    if tags is None or tags.marking:
        yield
        return
    made = tags.add(kind, alt, canvas._absRect(box, 1) if box else None)
    made.page = canvas._doc.thisPageRef()
    tags.begin_piece(made)
    yield
    tags.end_piece()


def figure(canvas: Canvas, alt: str, box: Box | None = None) -> AbstractContextManager[None]:
    """A drawing as one element; `alt` says in words what it shows, `box` is where it stands."""
    return marked(canvas, "Figure", alt, box)


@contextmanager
def apart(canvas: Canvas) -> Iterator[None]:
    """What is drawn inside, amid a figure, are elements of their own, read before the figure."""
    tags = tags_of(canvas)
    if tags is None or not tags.marking or tags.open[-1].page is None:
        yield
        return
    element = tags.end_piece()
    tags.open[-1].kids.remove(element)
    yield
    tags.open[-1].kids.append(element)
    tags.begin_piece(element)


@contextmanager
def artifact(canvas: Canvas) -> Iterator[None]:
    """What is drawn inside is not read: frames, rules, title blocks, page numbers."""
    tags = tags_of(canvas)
    if tags is None or tags.marking:
        yield
        return
    tags.marking = True
    canvas.addLiteral("/Artifact BMC")
    yield
    canvas.addLiteral("EMC")
    tags.marking = False


def finish_tags(canvas: Canvas) -> None:
    """Write structure and links into the file; call it once, after the last page."""
    tags = tags_of(canvas)
    if tags is None:
        return
    document = canvas._doc
    numbers: list[object] = []
    for number, elements in enumerate(tags.pages):
        numbers += [number, PDFArray(elements)]
    number = len(tags.pages)
    for element, annotation, page in tags.links:
        if annotation["Dest"].page is None:
            _unlink(element)
            continue
        annotation["StructParent"] = number
        reference = document.Reference(annotation)
        document.Pages.pages[page].Annots.append(reference)
        element.kids.append(PDFDictionary({"Type": PDFName("OBJR"), "Obj": reference}))
        numbers += [number, element]
        number += 1
    root = PDFDictionary(
        {
            "Type": PDFName("StructTreeRoot"),
            "K": PDFArray([tags.top]),
            "ParentTree": PDFDictionary({"Nums": PDFArray(numbers)}),
            "ParentTreeNextKey": number,
        }
    )
    tags.top.parent = document.Reference(root)
    canvas.setCatalogEntry("StructTreeRoot", root)
    canvas.setCatalogEntry("MarkInfo", {"Marked": "true"})


def _unlink(element: Element) -> None:
    """Make a link that leads nowhere plain words again."""
    element.kind = "Span"
    if not element.kids and isinstance(element.parent, Element):
        element.parent.kids.remove(element)
