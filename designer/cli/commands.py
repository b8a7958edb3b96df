"""What each command does; each returns its exit code and loads what it needs by itself."""

import argparse
import json
import os
from pathlib import Path
from typing import TYPE_CHECKING

from designer.checks.record import finding_record
from designer.cli.usage import UsageError, writing
from designer.units import parse_length

if TYPE_CHECKING:  # loaded with the first command that needs them
    from designer.analysis import Analysis
    from designer.drawing.picture import View


def analysis_of(path: Path) -> "Analysis":
    """Everything about the design in a file. Raises DesignError."""
    from designer.analysis import analyse_fully
    from designer.model.file import read_design

    return analyse_fully(read_design(path).design)


def check(options: argparse.Namespace) -> int:
    """List the findings; 1 where one must be fixed."""
    analysis = analysis_of(options.file)
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


def water(options: argparse.Namespace) -> int:
    """Print the numbers of the water."""
    analysis = analysis_of(options.file)
    if analysis.water is None:
        raise UsageError("There is no water yet: the design needs a reservoir and a bucket.")
    from designer.water.bed.record import water_lines, water_record

    if options.json:
        print(json.dumps(water_record(analysis.water), indent=2, ensure_ascii=False))
    else:
        print("\n".join(water_lines(analysis.water, analysis.design.units)))
    return 0


def takeoff(options: argparse.Namespace) -> int:
    """Print or write what to buy and to cut."""
    from designer.stand.bed.as_data import stand_record, weights_record
    from designer.takeoff.lines import takeoff_lines
    from designer.takeoff.prices import PriceBookError, read_prices
    from designer.takeoff.record import takeoff_record, write_csv
    from designer.takeoff.whole import TakeoffOptions, work_out

    analysis = analysis_of(options.file)
    try:
        book = None if options.prices is None else read_prices(options.prices)
    except PriceBookError as error:
        raise UsageError(f"{options.prices}: {error}") from error
    takeoff = work_out(analysis, TakeoffOptions(book=book))
    written = []
    if options.csv is not None:
        with writing(options.csv):
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


def sheet(options: argparse.Namespace) -> int:
    """Write the build sheet."""
    if options.out.suffix.lower() != ".pdf":
        raise UsageError(f"A build sheet is written as .pdf, not {options.out.name!r}.")
    from designer.sheet.build_sheet import write_build_sheet
    from designer.sheet.choosing import buckets_named, kinds_named
    from designer.sheet.options import SheetOptions
    from designer.sheet.paper import PAPERS, paper_named

    analysis = analysis_of(options.file)
    try:
        asked = SheetOptions(
            PAPERS[options.paper] if options.paper else None,
            paper_named(options.template_paper) if options.template_paper else None,
            only_templates=options.only == "templates",
            templates=None if options.templates is None else kinds_named(options.templates),
            buckets=(None if options.buckets is None else buckets_named(analysis, options.buckets)),
        )
        with writing(options.out):
            write_build_sheet(analysis, options.out, asked)
    except ValueError as error:
        raise UsageError(str(error)) from error
    print(options.out)
    return 0


def write_sheet(analysis: "Analysis", out: Path) -> None:
    """Write the build sheet as designed."""
    from designer.sheet.build_sheet import write_build_sheet

    write_build_sheet(analysis, out)


def picture(options: argparse.Namespace) -> int:
    """Write the drawing."""
    if options.out.suffix.lower() not in (".svg", ".png"):
        raise UsageError(f"A picture is written as .png or .svg, not {options.out.name!r}.")
    analysis = analysis_of(options.file)
    with writing(options.out):
        write_picture(analysis, options.out, options.view)
    print(options.out)
    return 0


def write_picture(analysis: "Analysis", out: Path, view: "View" = "both") -> None:
    """Write a view as SVG, or as PNG by the ending of the name."""
    if out.suffix.lower() == ".svg":
        from designer.drawing.picture import picture_svg

        out.write_text(picture_svg(analysis, view), "utf-8")
    else:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        from designer.canvas.raster import write_png

        write_png(analysis, view, out)


def sketch(options: argparse.Namespace) -> int:
    """Write a first design."""
    from designer.model.catalogue import load_catalogue
    from designer.model.parts import BucketPart
    from designer.model.saving import SaveError, save
    from designer.sketch import Answers, SketchError, sketch

    catalogue = load_catalogue()
    crops = catalogue.crops
    if options.crop not in crops:
        raise UsageError(f"There is no crop {options.crop!r}; choose one of {', '.join(crops)}.")
    buckets = [p.id for p in catalogue.parts.values() if isinstance(p, BucketPart)]
    if options.bucket is not None and options.bucket not in buckets:
        raise UsageError(
            f"There is no bucket {options.bucket!r}; choose one of {', '.join(buckets)}."
        )
    pitch = None if options.pitch is None else parse_length(options.pitch, options.units)
    space = None if options.space is None else parse_length(options.space, options.units)
    if (options.buckets is None) == (space is None):
        raise UsageError("Say either --buckets N or --space L.")
    if options.out.is_file() and not options.force:
        raise UsageError(
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
        raise UsageError(str(error)) from error
    print(options.out)
    return 0
