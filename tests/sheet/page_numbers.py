"""What a file says of itself: sheet numbers, contents, bookmarks, links and letters."""

import re
from collections.abc import Iterator
from math import pi

from shapely.geometry.base import BaseGeometry

from tests.sheet.page_audit import Fault
from tests.sheet.page_marks import FileMarks, PageMarks, Words

HEADING = 12.0
"""Bold words of this size or more head a page, points."""
_SHEET = re.compile(r"(?:.*(?:sheet|page) )?(\d+) of (\d+)")
_LETTER = re.compile(r"\d{0,2}[A-Z]{1,2}")
_NAMED = re.compile(r"(?:Section |Return end |Detail )(\w+)(?:–\1)?")
_LEVEL = 2.0
"""Words in one row of a table begin at the same height within this, points."""
_BALLOON = 90.0
"""A balloon is no longer round its edge, points."""


def file_faults(file: FileMarks) -> list[Fault]:
    """Everything in which a file contradicts itself."""
    return [
        *sheet_faults(file),
        *contents_faults(file),
        *bookmark_faults(file),
        *link_faults(file),
        *balloon_faults(file),
    ]


def sheet_faults(file: FileMarks) -> Iterator[Fault]:
    """Pages that do not say once which sheet of how many they are."""
    for page in file.pages:
        said = [(w, found) for w in page.words if (found := _SHEET.fullmatch(w.text))]
        if len(said) != 1:
            yield _of_page(page, f"says {len(said)} times which sheet it is")
        for words, found in said:
            if found.groups() != (str(page.number), str(len(file.pages))):
                yield Fault(page.number, "wrong sheet number", words.text, words.box)


def heads_of(page: PageMarks) -> set[str]:
    """What a page is called: its heading and the document type in its title block."""
    heads = {w.text for w in page.words if w.bold and w.size >= HEADING}
    for label in page.words:
        if label.text == "Document type":
            below = (w for w in page.words if w.bold and 0 < label.box[1] - w.box[1] < 20)
            heads |= {w.text for w in below if abs(w.box[0] - label.box[0]) < 3}
    return {head.removesuffix(" (continued)") for head in heads}


def is_called(page: PageMarks, name: str) -> bool:
    """Whether a page is called so, or begins so where the words were cut or broken."""
    return any(
        head == name or name.startswith(head.removesuffix("…")) or head.startswith(name)
        for head in heads_of(page)
        if len(head) > 3
    )


def contents_of(file: FileMarks) -> list[tuple[PageMarks, Words, Words]]:
    """Each line of the contents: the page it stands on, its name and its sheet."""
    rows = []
    for page in file.pages:
        if not any(words.text == "In this file" for words in page.words):
            continue
        heads = [w for w in page.words if w.bold and w.text == "Sheet"]
        for words in page.words:
            x, y = words.box[2], words.box[3]
            ends = [head for head in heads if abs(head.box[2] - x) < 3 and head.box[1] > y]
            if not words.text.isdigit() or not ends:
                continue
            left = max((h.box[0] for h in heads if h.box[2] < words.box[0] - 20), default=0.0)
            level = [
                w
                for w in page.words
                if left < w.box[0] < words.box[0] and abs(w.box[3] - words.box[3]) < _LEVEL + 1
            ]
            names = [w for w in level if not w.text.isdigit()]
            if names:
                rows.append((page, max(names, key=lambda w: w.box[0]), words))
    return rows


def contents_faults(file: FileMarks) -> Iterator[Fault]:
    """Lines of the contents that lead to another page, and pages that the contents leave out."""
    rows = contents_of(file)
    for page, name, sheet in rows:
        number = int(sheet.text)
        target = file.pages[number - 1] if 0 < number <= len(file.pages) else None
        if target is None or not is_called(target, name.text):
            yield Fault(page.number, f"contents: not on sheet {number}", name.text, name.box)
        elif number > 1 and name.text in heads_of(file.pages[number - 2]):
            yield Fault(page.number, f"contents: begins before sheet {number}", name.text, name.box)
    starts = {int(sheet.text) for _, _, sheet in rows}
    covers = {page.number for page, _, _ in rows}
    for before, page in zip(file.pages, file.pages[1:], strict=False):
        new = heads_of(page).isdisjoint(heads_of(before))
        if rows and new and page.number not in starts | covers:
            yield _of_page(page, "not in the contents")


def bookmark_faults(file: FileMarks) -> Iterator[Fault]:
    """Bookmarks that lead nowhere, to another page, or backwards."""
    last = 1
    for i, (level, title, number) in enumerate(file.bookmarks):
        parent = any(deeper > level for deeper, _, _ in file.bookmarks[i + 1 : i + 2])
        page = file.pages[(number or 1) - 1]
        if number is None or number < last:
            yield _of_page(page, f"bookmark {title!r} leads to {number}")
        elif not is_called(page, title) and not parent:
            yield _of_page(page, f"bookmark {title!r} leads here")
        last = max(last, number or 1)
    if file.bookmarks and file.bookmarks[0][2] != 1:
        yield _of_page(file.pages[0], "has no bookmark")


def link_faults(file: FileMarks) -> Iterator[Fault]:
    """Links that lead nowhere, and lines of the contents whose link leads to another sheet."""
    for page in file.pages:
        for box, number in page.links:
            if number is None:
                yield Fault(page.number, "a link leads nowhere", "", box)
    for page, name, sheet in contents_of(file):
        x, y = (name.box[0] + name.box[2]) / 2, (name.box[1] + name.box[3]) / 2
        for box, number in page.links:
            if box[0] <= x <= box[2] and box[1] <= y <= box[3] and number != int(sheet.text):
                yield Fault(page.number, f"its link leads to {number}", name.text, name.box)


def letters_drawn(file: FileMarks) -> set[str]:
    """The letters of buckets on drawings to scale: bold words like them that name no view."""
    views = {
        found[1] for page in file.pages for w in page.words if (found := _NAMED.fullmatch(w.text))
    }
    return {
        words.text
        for page in file.pages
        if any(words.text.startswith("SCALE 1:") for words in page.words)
        for words in page.words
        if words.bold and _LETTER.fullmatch(words.text) and words.text not in views
    }


def letters_listed(file: FileMarks) -> list[str]:
    """The letters in the hole schedule, once for each time they stand there."""
    found = []
    for page in file.pages:
        heads = [words.box for words in page.words if words.bold and words.text == "Hole"]
        for words in page.words:
            left, top = words.box[0], words.box[3]
            below = any(abs(head[0] - left) < _LEVEL and head[1] > top for head in heads)
            if below and not words.bold and _LETTER.fullmatch(words.text):
                found.append(words.text)
    return found


def balloons(page: PageMarks) -> list[Words]:
    """The numbers of parts on a drawing: figures in the middle of a small filled circle."""
    if not any(words.text.startswith("SCALE 1:") for words in page.words):
        return []
    rounds = [s.area for s in page.shapes if s.area is not None and s.lines is not None]
    rounds = [area for area in rounds if area.length < _BALLOON and _is_round(area)]
    return [
        words
        for words in page.words
        if words.text.isdigit()
        and any(
            area.contains(words.outline) and area.centroid.distance(words.outline.centroid) < 1.5
            for area in rounds
        )
    ]


def _is_round(area: BaseGeometry) -> bool:
    """Whether an area fills its box as a circle does."""
    left, bottom, right, top = area.bounds
    square = abs((right - left) - (top - bottom)) < 0.1
    return square and abs(area.area / (right - left) ** 2 - pi / 4) < 0.02


def numbers_listed(file: FileMarks) -> dict[str, int]:
    """The numbers of the list of parts, each with the page on which it stands."""
    found = {}
    for page in file.pages:
        heads = [words.box for words in page.words if words.bold and words.text == "No."]
        for words in page.words:
            left, top = words.box[0], words.box[3]
            below = any(abs(head[0] - left) < _LEVEL and head[1] > top for head in heads)
            if below and words.text.isdigit():
                found[words.text] = page.number
    return found


def balloon_faults(file: FileMarks) -> Iterator[Fault]:
    """Numbers on drawings that the list of parts lacks, or that do not lead to their line of it."""
    listed = numbers_listed(file)
    for page in file.pages:
        for words in balloons(page):
            x, y = (words.box[0] + words.box[2]) / 2, (words.box[1] + words.box[3]) / 2
            targets = [
                number
                for (left, bottom, right, top), number in page.links
                if left < x < right and bottom < y < top
            ]
            if words.text not in listed:
                yield Fault(page.number, "not in the list of parts", words.text, words.box)
            elif targets != [listed[words.text]]:
                what = f"leads to {targets}, not to {listed[words.text]}"
                yield Fault(page.number, what, words.text, words.box)


def _of_page(page: PageMarks, what: str) -> Fault:
    heads = ", ".join(sorted(heads_of(page)))
    return Fault(page.number, what, heads, (0.0, 0.0, page.width, page.height))
