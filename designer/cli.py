"""The command line: the window, and the same work without one.

Exit codes: 0 done, 1 a check says Must fix, 2 bad input or usage with one sentence on stderr.
"""

import argparse
import io
import json
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from designer import __version__
from designer.checks.record import finding_record
from designer.model.faults import DesignError
from designer.units import LengthError, parse_length

if TYPE_CHECKING:  # the drawing is loaded when one is asked for
    from designer.drawing.picture import View


class _UsageError(Exception):
    """Bad usage, in one sentence."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise _UsageError(f"{message[:1].upper()}{message[1:]}; see `{program()} --help`.")


COMMANDS = {
    "check": "list what must be fixed",
    "water": "work out pump, flows, drain and reservoir",
    "takeoff": "tell what to buy, how to cut it and what the stand carries",
    "sheet": "write the build sheet as PDF",
    "picture": "write the drawing as PNG or SVG",
    "sketch": "write a first design from a few answers",
}
"""Every command with what it does."""


def program() -> str:
    """What a person types to start the program, as it was started this time."""
    started = Path(sys.argv[0])
    if (started.parent.name, started.name) != ("designer", "__main__.py"):
        return "rillwright"
    return "python -m designer" if os.name == "nt" else "python3 -m designer"


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line; returns the exit code and never shows a traceback for bad input."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a console that has not all letters shows "?"
            stream.reconfigure(errors="replace")
    try:
        if arguments and arguments[0] in COMMANDS:
            options = _command_parser().parse_args(arguments)
            code: int = options.work(options)
            return code
        if arguments:
            _refuse_mistyped(arguments[0])
        return _window(_window_parser().parse_args(arguments))
    except _UsageError as error:
        return _refuse(str(error))
    except (DesignError, LengthError) as error:
        return _refuse(str(error))
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except OSError as error:
        reason = error.strerror or str(error)
        return _refuse(f"{error.filename or 'The file'}: {reason[:1].lower()}{reason[1:]}.")


def _refuse(sentence: str) -> int:
    print(f"{program()}: {sentence}", file=sys.stderr)
    return 2


def _refuse_mistyped(word: str) -> None:
    """Refuse a word that is neither a command nor an option nor looks like a file's name."""
    if not word or word[0] == "-" or {".", "/", os.sep} & set(word) or Path(word).exists():
        return
    meant = get_close_matches(word, COMMANDS, 1) or [f"one of {', '.join(COMMANDS)}"]
    raise _UsageError(f"There is no command {word!r}; did you mean {meant[0]}?")


def _window_parser() -> argparse.ArgumentParser:
    lines = [
        "Without a command the window opens. The commands work without it:",
        *(f"  {name:<10}{does}" for name, does in COMMANDS.items()),
        "",
        f"`{program()} COMMAND --help` tells more of each.",
    ]
    parser = _Parser(
        prog=program(),
        usage="%(prog)s [FILE]\n       %(prog)s COMMAND ...\n       %(prog)s --help | --version",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        description="Design a recirculating bucket bed: drag it together, check it, print it.",
        epilog="\n".join(lines),
    )
    parser.add_argument("--version", action="version", version=f"rillwright {__version__}")
    parser.add_argument("file", nargs="?", type=Path, metavar="FILE", help="a design or its PDF")
    return parser


def _command_parser() -> argparse.ArgumentParser:
    parser = _Parser(prog=program())
    commands = parser.add_subparsers(dest="command", parser_class=_Parser, required=True)

    def command(name: str) -> argparse.ArgumentParser:
        does = COMMANDS[name]
        made = commands.add_parser(name, description=f"{does[:1].upper()}{does[1:]}.")
        if name != "sketch":  # the only one that does not begin with a design
            made.add_argument("file", type=Path, metavar="FILE", help="a design or its PDF")
        return made

    check = command("check")
    check.add_argument("--json", action="store_true", help="findings and counts as JSON")
    check.set_defaults(work=_check)

    water = command("water")
    water.add_argument("--json", action="store_true", help="all numbers as JSON")
    water.set_defaults(work=_water)

    takeoff = command("takeoff")
    takeoff.add_argument("--json", action="store_true", help="all of it as JSON")
    takeoff.add_argument("--csv", type=Path, metavar="DIR", help="write tables into this folder")
    takeoff.add_argument("--prices", type=Path, metavar="FILE.csv", help="your own price book")
    takeoff.set_defaults(work=_takeoff)

    sheet = command("sheet")
    sheet.add_argument("--out", type=Path, required=True, metavar="X.pdf")
    sheet.add_argument("--paper", choices=("a4", "letter", "a3", "tabloid"))
    sheet.add_argument(
        "--template-paper", metavar="PAPER", help="such as a3, roll-610 or roll-24in; else --paper"
    )
    sheet.add_argument("--only", choices=("templates",))
    sheet.add_argument(
        "--templates", metavar="NAMES", help='such as "outlet, lid, drain collar", or "all"'
    )
    sheet.add_argument("--buckets", metavar="LETTERS", help="such as A,B: templates of these only")
    sheet.set_defaults(work=_sheet)

    picture = command("picture")
    picture.add_argument("--out", type=Path, required=True, metavar="X.png|X.svg")
    picture.add_argument("--view", choices=("plan", "elevation", "both", "section"), default="both")
    picture.set_defaults(work=_picture)

    sketch = command("sketch")
    sketch.add_argument("--out", type=Path, required=True, metavar="FILE")
    sketch.add_argument("--force", action="store_true", help="replace FILE where there is one")
    sketch.add_argument("--buckets", type=int, metavar="N")
    sketch.add_argument(
        "--space", metavar="L", help="length of ground for bed and reservoir, instead of --buckets"
    )
    sketch.add_argument("--pitch", metavar="L", help="such as 12 in or 300 mm")
    sketch.add_argument("--crop", default="tomato", metavar="NAME")
    sketch.add_argument("--bucket", metavar="PART", help="a bucket of the parts catalogue")
    sketch.add_argument("--units", choices=("metric", "imperial"), default="metric")
    sketch.add_argument("--paper", choices=("a4", "letter"))
    sketch.add_argument("--reservoir", choices=("end", "beside"), default="end")
    sketch.add_argument("--title", default="My bucket bed")
    sketch.set_defaults(work=_sketch)
    return parser


def _window(options: argparse.Namespace) -> int:
    if options.file is not None and options.file.is_dir():
        raise _UsageError(f"{str(options.file)!r} is a folder; name a design file in it.")
    if not _has_display():
        return _without_display(options.file)
    from designer.window.app import run  # Qt only when a window opens

    return run(options.file, sys.argv[:1])


def _has_display() -> bool:
    if not sys.platform.startswith("linux"):
        return True
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return any(os.environ.get(name) for name in names)


def _without_display(file: Path | None) -> int:
    """Draw the file that was to be opened, or a sample, into out/."""
    from designer.resources import sample_paths

    folder = Path("out")
    source = file or sample_paths()[0]
    analysis = _analysis(source)
    what = f"{source.name}" if file else f"the sample {source.stem!r}"
    print(f"No display here, so {what} is drawn into {folder}/ instead:")
    with _writing(folder):
        folder.mkdir(exist_ok=True)
    stem = source.stem if source.parent != folder else f"{source.stem} again"
    for write, suffix in ((_write_sheet, ".pdf"), (_write_picture, ".svg")):
        out = folder / f"{stem}{suffix}"
        with _writing(out):
            write(analysis, out)
        print(out)
    return 0


def _analysis(path: Path) -> Any:
    from designer.analysis import analyse_fully
    from designer.model.file import read_design

    return analyse_fully(read_design(path).design)


def _check(options: argparse.Namespace) -> int:
    analysis = _analysis(options.file)
    if options.json:
        findings = [finding_record(finding) for finding in analysis.findings]
        document = {"findings": findings, "counts": dict(analysis.counts)}
        print(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        from designer.checks.finding import STATE_WORDS

        for finding in analysis.findings:
            names = ", ".join(analysis.subject_name(s) for s in finding.subjects[:8])
            more = f" and {len(finding.subjects) - 8} more" if len(finding.subjects) > 8 else ""
            print(f"{STATE_WORDS[finding.state]}: {finding.title} ({names}{more})")
            if finding.state != "good":
                print(f"  is: {finding.measured}\n  needs: {finding.needed}\n  {finding.why}")
                print(f"  source: {finding.source}")
                for remedy in finding.remedies:
                    print(f"  remedy: {remedy.label}")
                if finding.accepted:
                    print(f"  accepted: {finding.accepted}")
        counts = ", ".join(f"{STATE_WORDS[s]} {n}" for s, n in analysis.counts.items())
        print(counts)
    return 1 if analysis.counts["must_fix"] else 0


def _water(options: argparse.Namespace) -> int:
    analysis = _analysis(options.file)
    if analysis.water is None:
        raise _UsageError("There is no water yet: the design needs a reservoir and a bucket.")
    from designer.water.bed.record import water_lines, water_record

    if options.json:
        print(json.dumps(water_record(analysis.water), indent=2, ensure_ascii=False))
    else:
        print("\n".join(water_lines(analysis.water, analysis.design.units)))
    return 0


def _takeoff(options: argparse.Namespace) -> int:
    from designer.stand.bed.as_data import stand_record, weights_record
    from designer.takeoff.lines import takeoff_lines
    from designer.takeoff.prices import PriceBookError, read_prices
    from designer.takeoff.record import takeoff_record, write_csv
    from designer.takeoff.whole import TakeoffOptions, work_out

    analysis = _analysis(options.file)
    try:
        book = None if options.prices is None else read_prices(options.prices)
    except PriceBookError as error:
        raise _UsageError(f"{options.prices}: {error}") from error
    takeoff = work_out(analysis, TakeoffOptions(book=book))
    written = []
    if options.csv is not None:
        with _writing(options.csv):
            written = write_csv(takeoff, options.csv)
    stands = list(analysis.stands.values())
    if options.json:
        findings = [finding_record(finding) for finding in analysis.stands_findings]
        stand, weights = stand_record(stands, findings), weights_record(stands)
        document = takeoff_record(analysis, takeoff=takeoff, stand=stand, weights=weights)
        print(json.dumps(document, indent=2, ensure_ascii=False))
    elif written:
        print("\n".join(map(str, written)))
    else:
        print("\n".join(takeoff_lines(analysis, takeoff)))
    return 0


def _sheet(options: argparse.Namespace) -> int:
    if options.out.suffix.lower() != ".pdf":
        raise _UsageError(f"A build sheet is written as .pdf, not {options.out.name!r}.")
    from designer.sheet.build_sheet import write_build_sheet
    from designer.sheet.choosing import buckets_named, kinds_named
    from designer.sheet.options import SheetOptions
    from designer.sheet.paper import PAPERS, paper_named

    analysis = _analysis(options.file)
    try:
        asked = SheetOptions(
            PAPERS[options.paper] if options.paper else None,
            paper_named(options.template_paper) if options.template_paper else None,
            only_templates=options.only == "templates",
            templates=None if options.templates is None else kinds_named(options.templates),
            buckets=(None if options.buckets is None else buckets_named(analysis, options.buckets)),
        )
        with _writing(options.out):
            write_build_sheet(analysis, options.out, asked)
    except ValueError as error:
        raise _UsageError(str(error)) from error
    print(options.out)
    return 0


@contextmanager
def _writing(out: Path) -> Iterator[None]:
    """Say of a file that cannot be written which one it is, not what it is called meanwhile."""
    try:
        yield
    except OSError as error:
        reason = error.strerror
        if reason is None:
            raise _UsageError(str(error)) from error
        sentence = f"{str(out)!r} cannot be written: {reason[:1].lower()}{reason[1:]}."
        raise _UsageError(sentence) from error


def _write_sheet(analysis: Any, out: Path) -> None:
    from designer.sheet.build_sheet import write_build_sheet

    write_build_sheet(analysis, out)


def _picture(options: argparse.Namespace) -> int:
    if options.out.suffix.lower() not in (".svg", ".png"):
        raise _UsageError(f"A picture is written as .png or .svg, not {options.out.name!r}.")
    analysis = _analysis(options.file)
    with _writing(options.out):
        _write_picture(analysis, options.out, options.view)
    print(options.out)
    return 0


def _write_picture(analysis: Any, out: Path, view: "View" = "both") -> None:
    if out.suffix.lower() == ".svg":
        from designer.drawing.picture import picture_svg

        out.write_text(picture_svg(analysis, view), "utf-8")
    else:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        from designer.canvas.raster import write_png

        write_png(analysis, view, out)


def _sketch(options: argparse.Namespace) -> int:
    from designer.model.catalogue import load_catalogue
    from designer.model.parts import BucketPart
    from designer.model.saving import SaveError, save
    from designer.sketch import Answers, SketchError, sketch

    catalogue = load_catalogue()
    crops = catalogue.crops
    if options.crop not in crops:
        raise _UsageError(f"There is no crop {options.crop!r}; choose one of {', '.join(crops)}.")
    buckets = [p.id for p in catalogue.parts.values() if isinstance(p, BucketPart)]
    if options.bucket is not None and options.bucket not in buckets:
        raise _UsageError(
            f"There is no bucket {options.bucket!r}; choose one of {', '.join(buckets)}."
        )
    pitch = None if options.pitch is None else parse_length(options.pitch, options.units)
    space = None if options.space is None else parse_length(options.space, options.units)
    if (options.buckets is None) == (space is None):
        raise _UsageError("Say either --buckets N or --space L.")
    if options.out.is_file() and not options.force:
        raise _UsageError(
            f"{str(options.out)!r} is there already; choose another name, or add --force to "
            "replace it."
        )
    try:
        design = sketch(
            Answers(
                title=options.title,
                buckets=options.buckets,
                space_length=space,
                pitch=pitch,
                crop=options.crop,
                bucket=options.bucket,
                units=options.units,
                paper=options.paper,
                reservoir=options.reservoir,
            )
        )
        save(design, options.out)
    except (SketchError, SaveError) as error:
        return _refuse(str(error))
    print(options.out)
    return 0
