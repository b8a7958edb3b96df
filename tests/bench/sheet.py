"""The build sheet at several sizes, beside as many pages of as many bare lines and words.

Every file is made in a process of its own, which tells the time and how far its peak of memory
rose. The bare pages are drawn by reportlab alone with the same fonts, no tags and no layout: what
any file of that much ink costs.
"""

import json
import re
import resource
import subprocess
import sys
import zlib
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from time import perf_counter
from typing import Any

from designer.sheet.paper import start_canvas

SIZES = (10, 60, 300)
PEAK_UNIT = 1 if sys.platform == "darwin" else 1024
"""Bytes in a unit of ru_maxrss."""


@dataclass(frozen=True)
class Ink:
    """What is drawn in a file: pages, painted paths, pieces of text and their characters."""

    pages: int
    paths: int
    texts: int
    characters: int


def rows() -> Iterator[str]:
    """A line for each size: pages a second, peak memory, and both as ratios to bare pages."""
    for buckets in SIZES:
        ours = _in_child("ours", buckets)
        ink = Ink(**ours["ink"])
        bare = _in_child("bare", ink.pages, ink.paths, ink.texts, ink.characters)
        laid, drawn = ours["laid"] / bare["drawn"], ours["drawn"] / bare["drawn"]
        yield (
            f"{buckets:4} buckets: {ink.pages:3} pages, {ours['bytes'] / 1e6:4.1f} MB; laid out in "
            f"{ours['laid']:5.2f} s, drawn in {ours['drawn']:5.2f} s, "
            f"{ink.pages / (ours['laid'] + ours['drawn']):5.1f} pages a second, "
            f"{ours['peak'] / 1e6:4.0f} MB more at the peak"
        )
        yield (
            f"     beside bare pages with {ink.paths} paths and {ink.texts} texts: "
            f"{bare['drawn']:5.2f} s, {bare['peak'] / 1e6:4.0f} MB; {drawn:4.1f} x the time to "
            f"draw, {laid + drawn:4.1f} x in all, {ours['peak'] / bare['peak']:4.1f} x the memory"
        )


def ink_of(data: bytes) -> Ink:
    """Count what the pages of one of our files draw."""
    pages = paths = texts = characters = 0
    for stream in re.findall(rb"\nstream\n(.*?)endstream", data, re.DOTALL):
        try:
            content = zlib.decompress(stream)
        except zlib.error:
            continue
        if not content.startswith(b"1 0 0 1 0 0 cm"):
            continue  # a font, or the design
        pages += 1
        paths += len(re.findall(rb"(?<![\w.])(?:S|s|f\*?|B\*?|b\*?)\s", content))
        shown = re.findall(rb"\((.*?)(?<!\\)\) Tj", content, re.DOTALL)
        texts += len(shown)
        characters += sum(map(len, shown))
    return Ink(pages, paths, texts, characters)


def _in_child(*arguments: object) -> dict[str, Any]:
    command = [sys.executable, "-m", "tests.bench.sheet", *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def _peak() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * PEAK_UNIT


def _ours(buckets: int) -> dict[str, Any]:
    """The build sheet of a bed, its cutting plan and its templates included."""
    from designer.analysis import completed
    from designer.sheet.build_sheet import build_sheet_bytes, sheet_pages
    from designer.sheet.pdf_pages import Imprint, pages_pdf
    from tests.bench.beds import analysed

    build_sheet_bytes(completed(analysed(1)))  # loads the libraries
    analysis = completed(analysed(buckets))
    before, start = _peak(), perf_counter()
    pages = sheet_pages(analysis)
    middle = perf_counter()
    data = pages_pdf(pages, Imprint("Bed", "build sheet", "2026-03-01", "mm"))
    end = perf_counter()
    return {
        "laid": middle - start,
        "drawn": end - middle,
        "peak": _peak() - before,
        "bytes": len(data),
        "ink": asdict(ink_of(data)),
    }


def _bare(ink: Ink) -> dict[str, Any]:
    """As many pages with the same share of paths and texts on each."""
    canvas = start_canvas("Bare")
    before, start = _peak(), perf_counter()
    words = "m" * round(ink.characters / ink.texts)
    for page in range(ink.pages):
        for i in range(_share(ink.paths, ink.pages, page)):
            canvas.line(50.5, 50.25 + i % 700, 500.75, 50.25 + i % 700)
        for i in range(_share(ink.texts, ink.pages, page)):
            canvas.drawString(60.5, 50.25 + i % 700, words)
        canvas.showPage()
    canvas.getpdfdata()
    return {"drawn": perf_counter() - start, "peak": _peak() - before}


def _share(all_of_them: int, pages: int, page: int) -> int:
    return all_of_them * (page + 1) // pages - all_of_them * page // pages


def _main(kind: str, *numbers: str) -> None:
    sizes = [int(number) for number in numbers]
    print(json.dumps(_ours(*sizes) if kind == "ours" else _bare(Ink(*sizes))))


if __name__ == "__main__":
    _main(*sys.argv[1:])
