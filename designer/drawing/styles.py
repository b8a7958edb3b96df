"""Line styles by name, and the colours of the light, dark and printed drawing.

Line types after ISO 128 (continuous, dashed, long-dash dot for axes, long-dash double-dot for
parts in front of the section), with wide lines twice as wide as narrow ones. Colours are from the
palette of Okabe and Ito, darkened or lightened where text or lines need the contrast that
WCAG 2.2 asks for; a dash pattern, shape or letter always says the same as the colour.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Role = Literal[
    "sheet", "ink", "soft", "faint", "water", "plant", "wood", "stone", "bucket", "must", "look",
    "good", "chosen", "accent", "axis",
]  # fmt: skip
Weight = Literal["wide", "narrow", "none"]
Dash = tuple[float, ...]

SOLID: Dash = ()
DASHED: Dash = (3.0, 1.5)
DOTTED: Dash = (0.6, 1.4)
LONG_DASH_DOT: Dash = (8.0, 1.5, 0.6, 1.5)
LONG_DASH_DOUBLE_DOT: Dash = (8.0, 1.5, 0.6, 1.5, 0.6, 1.5)
"""Dash patterns in mm on paper: stroke, gap, and so on."""

WIDTH_MM: Mapping[Weight, float] = {"wide": 0.5, "narrow": 0.25, "none": 0.0}


@dataclass(frozen=True, slots=True)
class Style:
    """How a line, circle or text is drawn; `fill` with `opacity`, or None for no fill."""

    colour: Role = "ink"
    weight: Weight = "narrow"
    dash: Dash = SOLID
    fill: Role | None = None
    opacity: float = 1.0
    bold: bool = False


STYLES: Mapping[str, Style] = {
    "text": Style(),
    "text_soft": Style("soft"),
    "letter": Style(bold=True),
    "dimension": Style("soft"),
    "dimension_end": Style("soft", "none", fill="soft"),
    "origin": Style("soft", fill="sheet"),
    "axis": Style("axis", dash=LONG_DASH_DOT),
    "gap": Style("sheet", "none", fill="sheet"),
    "rim": Style(weight="wide", fill="bucket"),
    "base": Style("soft", dash=DASHED),
    "bucket": Style(weight="wide", fill="bucket", opacity=0.55),
    "bucket_front": Style("soft", dash=LONG_DASH_DOUBLE_DOT),
    "canopy": Style("plant", dash=DOTTED),
    "nipple": Style(fill="sheet"),
    "elbow": Style(weight="wide", fill="sheet"),
    "tail": Style(weight="wide", fill="sheet"),
    "drain": Style(weight="wide", fill="sheet"),
    "drain_wall": Style("soft", dash=DASHED),
    "hole": Style(weight="wide", fill="sheet"),
    "manifold": Style("water", "wide"),
    "feed": Style("water"),
    "rail": Style(fill="wood", opacity=0.5),
    "block": Style(fill="stone", opacity=0.5),
    "shim": Style(fill="wood"),
    "sag": Style(dash=DASHED),
    "ground": Style(weight="wide"),
    "ground_hatch": Style("soft"),
    "reservoir": Style(weight="wide", fill="sheet", opacity=0.6),
    "water": Style("water", fill="water", opacity=0.25),
    "water_line": Style("water"),
    "low_water": Style("water", dash=DASHED),
    "grade_line": Style("water", "wide", LONG_DASH_DOT),
    "water_now": Style("water", "wide"),
    "water_gone": Style("faint", "none", fill="sheet"),
    "flow_far_below": Style("must", fill="must", opacity=0.35),
    "flow_below": Style("look", fill="look", opacity=0.3),
    "flow_near": Style("good", fill="good", opacity=0.25),
    "flow_above": Style("water", fill="water", opacity=0.3),
    "flow_shut": Style("ink", "wide", fill="stone", opacity=0.3),
    "leader": Style(),
    "match": Style(weight="wide", dash=LONG_DASH_DOUBLE_DOT),
    "balloon": Style(fill="sheet"),
    "balloon_number": Style(),
    "cut": Style(weight="wide"),
    "cut_thin": Style("ink", "none", fill="ink"),
    "cut_wood": Style("wood", "none", fill="wood", opacity=0.5),
    "cut_stone": Style("stone", "none", fill="stone", opacity=0.5),
    "hatch": Style("soft"),
    "seen": Style(fill="sheet"),
    "pump": Style(weight="wide", fill="stone"),
    "inside": Style("ink", "none", fill="sheet"),
    "hidden": Style("soft", dash=DASHED),
    "liner": Style("soft", dash=DOTTED),
    "medium": Style("faint", "none", fill="wood", opacity=0.25),
    "outline": Style(weight="wide", dash=LONG_DASH_DOUBLE_DOT),
    "wall": Style(weight="wide", fill="stone"),
    "post": Style(weight="wide", fill="stone"),
    "door": Style(dash=DASHED, fill="faint", opacity=0.35),
    "path": Style("soft", dash=DOTTED, fill="faint", opacity=0.35),
    "keep_free": Style("soft", dash=DASHED, fill="faint", opacity=0.2),
    "must_ring": Style("must", "wide"),
    "must_badge": Style("must", "none", fill="must"),
    "look_ring": Style("look", "wide", dash=DASHED),
    "look_badge": Style("look", "none", fill="look"),
    "badge_text": Style("sheet", bold=True),
    "chosen": Style("chosen", "wide"),
}

Colours = Mapping[Role, str]

LIGHT: Colours = {
    "sheet": "#ffffff",
    "ink": "#14181c",
    "soft": "#525a61",
    "faint": "#c9ced3",
    "water": "#0072b2",
    "plant": "#00795a",
    "wood": "#d9b98c",
    "stone": "#b4b9be",
    "bucket": "#dfe9f0",
    "must": "#b84a00",
    "look": "#8a5a00",
    "good": "#00795a",
    "chosen": "#7a1fc0",
    "accent": "#0072b2",
    "axis": "#9a4a7c",
}
DARK: Colours = {
    "sheet": "#16191d",
    "ink": "#eef1f4",
    "soft": "#aab2ba",
    "faint": "#3c444c",
    "water": "#56b4e9",
    "plant": "#3fc79a",
    "wood": "#7d6440",
    "stone": "#565e66",
    "bucket": "#2b3843",
    "must": "#ff8a4c",
    "look": "#f0c04a",
    "good": "#3fc79a",
    "chosen": "#d3a6ff",
    "accent": "#56b4e9",
    "axis": "#d99bc0",
}
PRINT: Colours = {**LIGHT, "bucket": "#f1f5f8", "wood": "#ead9bf", "stone": "#d5d8db"}
