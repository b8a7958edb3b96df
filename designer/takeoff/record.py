"""The take-off as plain data, and as tables of comma-separated values."""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from designer.analysis import Analysis
from designer.takeoff.cost import Costing
from designer.takeoff.materials import shopping_list
from designer.takeoff.sticks import PlannedStick
from designer.takeoff.whole import BedTakeoff, TakeoffOptions, work_out

_UNITS = {"pieces": "pieces", "length": "mm", "litres": "L"}


def takeoff_record(
    analysis: Analysis,
    options: TakeoffOptions | None = None,
    *,
    takeoff: BedTakeoff | None = None,
    stand: Mapping[str, Any] | None = None,
    weights: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Materials, cuts, sticks and cost as JSON holds them; `stand` and `weights` are passed on.
    With `takeoff` nothing is worked out again. Lengths in mm, volumes in L, money as text-free
    numbers with two decimals; without a price book the cost is null and has no lines.

    A piece of a stick has the label of its line among the cuts, and as mark what to write on it.
    """
    whole = takeoff or work_out(analysis, options)
    record: dict[str, Any] = {
        "materials": [
            {
                "item": line.id,
                "count": _r(line.to_buy),
                "unit": _UNITS[line.measure],
                "why": line.why,
            }
            for line in whole.materials
        ],
        "cuts": [
            {
                "label": piece.label,
                "part": piece.part_id,
                "length_mm": _r(piece.length),
                "count": piece.count,
            }
            for piece in whole.pieces
        ],
        "sticks": [
            {"part": part.part_id, **_stick(stick)}
            for part in whole.plan.parts
            for stick in part.sticks
        ],
        "cost": _cost(whole.cost),
    }
    if stand is not None:
        record["stand"] = dict(stand)
    if weights is not None:
        record["weights"] = dict(weights)
    return record


def _stick(stick: PlannedStick) -> dict[str, Any]:
    return {
        "stock_mm": _r(stick.stock),
        "pieces": [
            {"label": cut.label, "mark": cut.mark, "length_mm": _r(cut.length)}
            for cut in stick.cuts
        ],
        "offcut_mm": _r(stick.offcut),
    }


def _cost(cost: Costing | None) -> dict[str, Any]:
    """What has no price stands among the lines with null, and is in no total."""
    if cost is None:
        return {"total": None, "currency": None, "lines": []}
    priced = [
        {"item": line.material.id, "buy": line.words, "price": float(line.price)}
        for line in cost.lines
    ]
    missing = [{"item": material.id, "buy": None, "price": None} for material in cost.missing]
    return {
        "total": float(cost.total),
        "currency": cost.currency,
        "lines": [*priced, *missing],
    }


def csv_texts(takeoff: BedTakeoff) -> dict[str, str]:
    """The take-off's tables by file name: the shopping list, the cut list and the sticks."""
    priced = {}
    if takeoff.cost is not None:
        priced = {(x.material.id, x.material.stick): x for x in takeoff.cost.lines}
    shopping = []
    for department, lines in shopping_list(takeoff.materials).items():
        for m in lines:
            cost = priced.get((m.id, m.stick))
            shopping.append(
                (department, m.role, m.id, m.name, _n(m.to_buy), _UNITS[m.measure], _n(m.spare),
                 cost.words if cost else "", f"{cost.price:.2f}" if cost else "", m.why)
            )  # fmt: skip
    cuts = [
        (p.label, p.part_id, p.part, _n(p.length), str(p.count), ", ".join(p.marks), p.use)
        for p in takeoff.pieces
    ]
    sticks = [
        (part.part_id, str(number), _n(stick.stock), "yes" if stick.owned else "no",
         " + ".join(f"{cut.mark} {_n(cut.length)}" for cut in stick.cuts), _n(stick.offcut))
        for part in takeoff.plan.parts
        for number, stick in enumerate(part.sticks, 1)
    ]  # fmt: skip
    return {
        "shopping.csv": _table(
            ("department", "role", "item", "name", "count", "unit", "spare in it", "buy", "price",
             "why"),
            shopping,
        ),
        "cuts.csv": _table(
            ("label", "item", "part", "length mm", "count", "write on each", "for"), cuts
        ),
        "sticks.csv": _table(
            ("item", "stick", "length mm", "owned", "cuts in order", "offcut mm"), sticks
        ),
    }  # fmt: skip


def write_csv(takeoff: BedTakeoff, folder: Path) -> list[Path]:
    """Write the tables into a folder, which is made where it is not there. OSError as it comes."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, text in csv_texts(takeoff).items():
        path = folder / name
        # The mark at the start lets spreadsheets see that the letters are UTF-8.
        path.write_text("\ufeff" + text, "utf-8", newline="")
        written.append(path)
    return written


def _table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(header)
    table.writerows([_harmless(cell) for cell in row] for row in rows)
    return out.getvalue()


def _harmless(cell: str) -> str:
    """A name from someone else's design must not run as a formula in a spreadsheet."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") else cell


def _n(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")


def _r(number: float) -> float:
    return round(number, 2)
