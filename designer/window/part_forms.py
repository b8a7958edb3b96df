"""What to measure on each kind of part: plain labels, where to put the tape, and what must fit."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from designer.model.catalogue import Catalogue
from designer.model.parts import (
    BlockPart,
    BoardPart,
    BucketPart,
    ElbowPart,
    EmitterPart,
    FittingPart,
    GrommetPart,
    HoleSawPart,
    MediumPart,
    Part,
    PipePart,
    PumpPart,
    ReservoirPart,
    TubePart,
)

Form = Literal["length", "head", "flow", "density", "percent", "power", "number", "shape", "curve"]


@dataclass(frozen=True, slots=True)
class Size:
    """One size of a part: its field, what it is called, and how to measure it."""

    field: str
    label: str
    how: str
    form: Form = "length"


@dataclass(frozen=True, slots=True)
class PartForm:
    """The form of one kind of part. `noun` is what a person calls it."""

    record: type
    noun: str
    sizes: tuple[Size, ...]


_FITTING = (Size("hole_diameter", "Hole to drill", "As its packet says; 0 when none is drilled"),)

PART_FORMS: Mapping[str, PartForm] = {
    "bucket": PartForm(
        BucketPart,
        "bucket",
        (
            Size("rim_diameter", "Across the rim", "The widest point, outside to outside"),
            Size("top_diameter", "Across just under the rim", "The wall itself, outside"),
            Size("base_diameter", "Across the base", "The foot of the wall, outside"),
            Size("height", "Height", "From the ground to the top of the rim"),
            Size("wall", "Wall thickness", "At the edge of a hole, or of a cut piece"),
        ),
    ),
    "pipe": PartForm(
        PipePart,
        "pipe",
        (
            Size("outside_diameter", "Across the outside", "With a calliper, or girth over 3.14"),
            Size("wall", "Wall thickness", "At a clean cut end"),
            Size("stick_length", "Length of a stick", "As it is sold"),
        ),
    ),
    "tube": PartForm(
        TubePart,
        "tube",
        (
            Size("outside_diameter", "Across the outside", "Without squeezing it"),
            Size("inside_diameter", "Across the inside", "At a clean cut end"),
        ),
    ),
    "elbow": PartForm(
        ElbowPart,
        "elbow",
        (
            Size("pipe_outside_diameter", "Pipe it fits", "The pipe's outside diameter"),
            Size("socket_depth", "Depth of a socket", "From its mouth to the stop inside"),
            Size(
                "centre_to_socket_bottom",
                "Centre to socket stop",
                "From the middle of one leg to the stop inside the other",
            ),
            Size("body_diameter", "Across a socket", "The widest point, outside"),
        ),
    ),
    "grommet": PartForm(
        GrommetPart,
        "grommet",
        (
            Size("hole_diameter", "Hole to drill", "As its packet says; try it in a spare piece"),
            Size("pipe_outside_diameter", "Pipe it fits", "The pipe's outside diameter"),
            Size("flange_thickness", "Flange thickness", "The lip on one side of the wall"),
            Size("flange_diameter", "Across the flange", "The lip, outside"),
        ),
    ),
    "cap": PartForm(FittingPart, "end cap", ()),
    "barb": PartForm(FittingPart, "barb", _FITTING),
    "plug": PartForm(FittingPart, "end plug", ()),
    "hole_saw": PartForm(
        HoleSawPart, "hole saw", (Size("diameter", "Hole it cuts", "Across a hole it has cut"),)
    ),
    "medium": PartForm(
        MediumPart,
        "medium",
        (
            Size(
                "bulk_density",
                "Dry weight",
                "Of a cubic metre: g in a litre is the same",
                "density",
            ),
            Size(
                "water_percent", "Water it holds", "After draining, part of its volume", "percent"
            ),
            Size(
                "available_percent",
                "Water roots take with ease",
                "Part of its volume; 5 to 20 % where it is not known",
                "percent",
            ),
        ),
    ),
    "pump": PartForm(
        PumpPart,
        "pump",
        (
            Size("flow_at_no_head", "Flow at no height", "The greatest flow on its label", "flow"),
            Size("head_at_no_flow", "Greatest height", "To which it lifts, on its label", "head"),
            Size("cover", "Water over its foot", "The least at which it draws no air"),
            Size("watts", "Power", "In watts, on its label; 0 when it is not known", "power"),
            Size("curve", "Points of its curve", "Where its packet has a curve; or none", "curve"),
        ),
    ),
    "emitter": PartForm(
        EmitterPart,
        "emitter",
        (
            Size("coefficient", "Flow at 1 m of water", "On its packet, or measured", "flow"),
            Size("exponent", "Exponent", "0.5 for most; 0 for one that levels pressure", "number"),
        ),
    ),
    "reservoir": PartForm(
        ReservoirPart,
        "reservoir",
        (
            Size("shape", "Shape", "As seen from above", "shape"),
            Size("rim_length", "Length at the rim", "Inside; for a round one, across"),
            Size("rim_width", "Width at the rim", "Inside"),
            Size("base_length", "Length at the floor", "Inside; for a round one, across"),
            Size("base_width", "Width at the floor", "Inside"),
            Size("height", "Height", "From the floor to the rim, inside"),
            Size("wall", "Wall thickness", "At the rim"),
        ),
    ),
    "board": PartForm(
        BoardPart,
        "board",
        (
            Size("width", "Wide face", "As measured, not as named in the shop"),
            Size("thickness", "Narrow face", "As measured, not as named in the shop"),
            Size("stick_length", "Length", "As it is sold"),
        ),
    ),
    "block": PartForm(
        BlockPart,
        "block",
        (
            Size("length", "Length", "As it lies"),
            Size("width", "Width", "As it lies"),
            Size("height", "Height", "As it lies"),
        ),
    ),
}

_LARGER_FIRST: Mapping[str, tuple[tuple[str, str, str], ...]] = {
    "bucket": (
        ("rim_diameter", "top_diameter", "The rim cannot be narrower than the wall under it."),
        ("top_diameter", "base_diameter", "The base cannot be wider than the top."),
    ),
    "elbow": (
        ("body_diameter", "pipe_outside_diameter", "A socket is wider than the pipe it holds."),
    ),
    "grommet": (
        ("flange_diameter", "hole_diameter", "The flange is wider than the hole it covers."),
        ("hole_diameter", "pipe_outside_diameter", "The hole is wider than the pipe through it."),
    ),
    "tube": (("outside_diameter", "inside_diameter", "The outside is wider than the inside."),),
    "reservoir": (
        ("rim_length", "base_length", "The floor cannot be longer than the rim."),
        ("rim_width", "base_width", "The floor cannot be wider than the rim."),
    ),
    "board": (("width", "thickness", "The wide face cannot be less than the narrow one."),),
}
_WALLED: Mapping[str, str] = {
    "bucket": "base_diameter",
    "pipe": "outside_diameter",
    "reservoir": "base_width",
}


def misfit(kind: str, sizes: Mapping[str, Any]) -> str | None:
    """Why sizes that are each allowed cannot be of one part; None when they can."""
    for larger, smaller, sentence in _LARGER_FIRST.get(kind, ()):
        if sizes[larger] < sizes[smaller]:
            return sentence
    for point in sizes.get("curve", ()):
        if point.flow >= sizes["flow_at_no_head"] or point.head >= sizes["head_at_no_flow"]:
            return "A point of the curve lies beyond the greatest flow or height."
    across = _WALLED.get(kind)
    if across and 2 * sizes["wall"] >= sizes[across]:
        return "The wall is too thick for so narrow a part."
    return None


def own_part_id(catalogue: Catalogue, kind: str) -> str:
    """An unused id for a part that the grower measures."""
    number = 1
    while (part_id := f"own-{kind.replace('_', '-')}-{number}") in catalogue.parts:
        number += 1
    return part_id


def make_part(kind: str, part_id: str, name: str, sizes: Mapping[str, Any]) -> Part:
    """A part from what was measured. TypeError when a size is missing."""
    part: Part = PART_FORMS[kind].record(kind=kind, id=part_id, name=name, **sizes)
    return part


def part_evidence(catalogue: Catalogue, part: Part) -> str:
    """Where the sizes of a part come from, one line for each source."""
    sources = (
        str(catalogue.evidence_of(part.id, size.field))
        for size in PART_FORMS[part.kind].sizes
        if size.form not in ("shape", "curve")
    )
    return "\n".join(dict.fromkeys(source[:1].upper() + source[1:] for source in sources))


MEASURE_YOURS = ("bucket", "reservoir", "elbow", "grommet", "tube")
"""Kinds whose sizes vary so much between makers that the panel asks for them to be measured."""


def measure_note(catalogue: Catalogue, part: Part) -> str:
    """A request to measure, where a part's sizes are not sure; empty where they are."""
    if part.kind in MEASURE_YOURS:
        kinds = {
            catalogue.evidence_of(part.id, size.field).sure for size in PART_FORMS[part.kind].sizes
        }
        for sure in ("from memory", "second-hand"):
            if sure in kinds:
                return f"Sizes {sure}: measure yours."
    return ""
