"""What stands one below the other on text pages, each with its place in the file's structure."""

from contextlib import ExitStack
from typing import Any

from reportlab.platypus import Flowable, Paragraph, Table

from designer.sheet.links import destination, link_to
from designer.sheet.tagging import artifact, figure, group, marked

HEADINGS = {"title": "H1", "subhead": "H2"}
"""Styles of paragraphs that are headings."""


class Words(Paragraph):  # type: ignore[misc]  # reportlab has no types
    """A paragraph, or a heading where its style is one."""

    def draw(self) -> None:
        """Draw the words."""
        with marked(self.canv, HEADINGS.get(self.style.name, "P")):
            self.draw_lines()

    def draw_lines(self) -> None:
        """Draw the words without a mark, each line but the last with a space at its end: who
        reads the file rather than the page must not run two words together."""
        lines = self.blPara.lines
        for at, line in enumerate(lines[:-1]):
            if self.blPara.kind == 0:
                spare, words = line[:2]
                lines[at] = (spare, [*words, ""] if words[-1:] != [""] else words)
            elif not line.words[-1].text.endswith(" "):
                line.words[-1].text += " "
        Paragraph.draw(self)


class LinkedWords(Words):
    """Words that lead to a named place of the file (`links.py`); `leads` says where."""

    def to(self, name: str, leads: str) -> "LinkedWords":
        """The same words with the name of the place."""
        self.place, self.leads = name, leads
        return self

    def split(self, width: float, height: float) -> list["LinkedWords"]:
        """The words in two parts, each of which leads to the place."""
        return [part.to(self.place, self.leads) for part in super().split(width, height)]

    def draw(self) -> None:
        """Draw the words."""
        with marked(self.canv, "Link"):
            self.draw_lines()
            link_to(self.canv, self.place, (0.0, 0.0, self.width, self.height), self.leads)


class PlacedWords(Words):
    """Words at a place with a name that links can lead to (`links.py`)."""

    def at(self, name: str) -> "PlacedWords":
        """The same words with the name of their place."""
        self.place = name
        return self

    def draw(self) -> None:
        """Draw the words and name their place."""
        destination(self.canv, self.place, self.height)
        super().draw()


class Pictured(Flowable):  # type: ignore[misc]
    """A drawing with its alternative text."""

    def __init__(self, drawing: Flowable, alt: str) -> None:
        super().__init__()
        self.drawing, self.alt = drawing, alt

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Size in points, as the page flow asks for it."""
        self.width, self.height = self.drawing.wrap(available_width, available_height)
        return self.width, self.height

    def draw(self) -> None:
        """Draw the drawing."""
        with figure(self.canv, self.alt, (0.0, 0.0, self.width, self.height)):
            self.drawing.drawOn(self.canv, 0, 0)


def tag_table(table: Table, event: str, *details: Any) -> None:
    """Tag a table while it draws itself: its `renderCB`. Rows that repeat are headings."""
    canvas = table.canv
    if event.startswith("end"):
        table.__dict__["open_tags"].pop().close()
        return
    stack = ExitStack()
    table.__dict__.setdefault("open_tags", []).append(stack)
    if event == "startTable":
        stack.enter_context(group(canvas, "Table"))
    elif event == "startRow":
        stack.enter_context(group(canvas, "TR"))
    elif event == "startCell":
        row, _, content = details[:3]
        kind = "TH" if row < table.repeatRows else "TD"
        # Words belong to the cell itself; anything else is an element inside it.
        parts = content if isinstance(content, list | tuple) else [content]
        tag = marked if all(type(part) is Words for part in parts) else group
        stack.enter_context(tag(canvas, kind))
    else:
        stack.enter_context(artifact(canvas))
