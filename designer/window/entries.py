"""What a field of the Dimensions panel stands for: how it is read, written, and bounded."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial, reduce
from operator import attrgetter
from typing import Any, Literal, get_type_hints

from designer.analysis import Analysis
from designer.model import edits
from designer.model.design import Bucket, Design, Fill, Obstacle, Point, Reservoir, Run, Water
from designer.window.bounds import NO_BOUNDS, Bounds, bounds_of
from designer.window.quantity_fields import NUMBER, Measure

Form = Literal[
    "length", "lengths", "degrees", "whole", "text", "notes", "part", "crop", "choice", "yes_no",
    "corners", "quantity", "levels", "bags",
]  # fmt: skip
Kind = Literal["design", "run", "bucket", "reservoir", "obstacle", "site", "mixed"]
Ids = tuple[str, ...]

LENGTH_OF_A_PLACE = Bounds(at_least=-1_000_000, at_most=1_000_000)


@dataclass(frozen=True, slots=True)
class Entry:
    """One field. `read` gives the value of one subject; `write` sets it for all chosen ones.

    `step` names the undo step. `parts` is the kind of part to choose from, `options` the values
    and texts of any other choice, `blank` the text for choosing none; `measure` is how a quantity
    is shown.
    """

    label: str
    step: str
    why: str
    form: Form
    read: Callable[[Analysis, str], Any]
    write: Callable[[Design, Ids, Any], Design]
    bounds: Bounds = NO_BOUNDS
    parts: str = ""
    options: tuple[tuple[Any, str], ...] = ()
    blank: str = ""
    shown_if: Callable[[Analysis, str], bool] | None = None
    measure: Measure = NUMBER


@dataclass(frozen=True, slots=True)
class Fact:
    """Something computed that helps to judge the fields beside it; shown for one subject. `why`
    says what it means."""

    label: str
    text: Callable[[Analysis, str], str]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its fields; a closed one opens when its heading is pressed."""

    title: str
    lines: tuple[Entry | Fact, ...]
    open: bool = True


def kind_and_ids(analysis: Analysis, subjects: frozenset[str]) -> tuple[Kind, Ids]:
    """What kind of things are chosen, and which; things that are not there are left out."""
    found: dict[Kind, list[str]] = {}
    runs = {run.id for run in analysis.design.runs}
    obstacles = {obstacle.id for obstacle in analysis.design.obstacles}
    for subject in sorted(subjects):
        if subject in analysis.places:
            found.setdefault("bucket", []).append(subject)
        elif subject in runs:
            found.setdefault("run", []).append(subject)
        elif subject in obstacles:
            found.setdefault("obstacle", []).append(subject)
        elif subject == "reservoir" and analysis.design.reservoir is not None:
            found.setdefault("reservoir", []).append(subject)
        elif subject == "site":
            found.setdefault("site", []).append(subject)
    if not found:
        return "design", ("design",)
    if len(found) > 1:
        return "mixed", tuple(i for ids in found.values() for i in ids)
    ((kind, ids),) = found.items()
    return kind, tuple(ids)


def run_entry(path: str, label: str, why: str, form: Form = "length", **more: Any) -> Entry:
    """A field of a run, or of one of its groups, such as "drain.fall"."""
    *group, name = path.split(".")
    record = get_type_hints(Run)[group[0]] if group else Run
    value = attrgetter(path)

    def write(design: Design, ids: Ids, entered: Any) -> Design:
        for run_id in ids:
            design = (
                edits.set_run_part(design, run_id, group[0], **{name: entered})
                if group
                else edits.set_run(design, run_id, **{name: entered})
            )
        return design

    entry = _entry(label, why, form, lambda a, i: value(a.run(i).run), write)
    return replace(entry, **({"bounds": bounds_of(record, name)} | more))


def bucket_entry(name: str, label: str, why: str, form: Form, **more: Any) -> Entry:
    """A field of a bucket."""

    def write(design: Design, ids: Ids, entered: Any) -> Design:
        return edits.change_buckets(
            design,
            ids,
            lambda b: b if getattr(b, name) == entered else replace(b, **{name: entered}),
        )

    entry = _entry(label, why, form, lambda a, i: getattr(a.places[i][1].bucket, name), write)
    return replace(entry, **({"bounds": bounds_of(Bucket, name)} | more))


def reservoir_entry(name: str, label: str, why: str, form: Form = "length", **more: Any) -> Entry:
    """A field of the reservoir."""
    entry = _entry(
        label,
        why,
        form,
        lambda a, _: getattr(a.design.reservoir, name),
        lambda design, _, entered: edits.set_reservoir(design, **{name: entered}),
    )
    return replace(entry, **({"bounds": bounds_of(Reservoir, name)} | more))


def obstacle_entry(name: str, label: str, why: str, form: Form = "length", **more: Any) -> Entry:
    """A field of an obstacle."""

    def write(design: Design, ids: Ids, entered: Any) -> Design:
        return reduce(
            lambda d, i: edits.set_obstacle(d, i, **{name: entered}),
            (i for i in ids if getattr(obstacle(design, i), name) != entered),
            design,
        )

    entry = _entry(label, why, form, lambda a, i: getattr(obstacle(a.design, i), name), write)
    return replace(entry, **({"bounds": bounds_of(Obstacle, name)} | more))


def design_entry(name: str, label: str, why: str, form: Form, **more: Any) -> Entry:
    """A field of the design itself."""
    entry = _entry(
        label,
        why,
        form,
        lambda a, _: getattr(a.design, name),
        lambda design, _, entered: edits.set_design(design, **{name: entered}),
    )
    return replace(entry, **({"bounds": bounds_of(Design, name)} | more))


def water_entry(name: str, label: str, why: str, form: Form = "quantity", **more: Any) -> Entry:
    """A field of how the bed is run."""
    entry = _entry(
        label,
        why,
        form,
        lambda a, _: getattr(a.design.water, name),
        lambda design, _, entered: edits.set_water(design, **{name: entered}),
    )
    return replace(entry, **({"bounds": bounds_of(Water, name)} | more))


def fill_entry(name: str, label: str, why: str, form: Form = "quantity", **more: Any) -> Entry:
    """A field of what the bed is filled with."""

    def write(design: Design, _: Ids, entered: Any) -> Design:
        return edits.set_design(design, fill=replace(design.fill, **{name: entered}))

    entry = _entry(label, why, form, lambda a, _: getattr(a.design.fill, name), write)
    return replace(entry, **({"bounds": bounds_of(Fill, name)} | more))


def place_entries(place: Callable[[Design, str], Point], of: str) -> tuple[Entry, Entry]:
    """The two fields of a thing's place on the site; moving it takes along what hangs on it."""

    def write(axis: str, design: Design, ids: Ids, entered: float) -> Design:
        for subject in ids:
            by = entered - getattr(place(design, subject), axis)
            if by:
                dx, dy = (by, 0.0) if axis == "x" else (0.0, by)
                design = edits.move(design, [subject], dx, dy)
        return design

    def entry(axis: str, label: str, way: str) -> Entry:
        return replace(
            _entry(
                label,
                f"How far {way} of the site's zero point {of}.",
                "length",
                lambda a, i: getattr(place(a.design, i), axis),
                partial(write, axis),
            ),
            bounds=LENGTH_OF_A_PLACE,
            step=f"Move {of.rsplit(' of ', 1)[-1]}",
        )

    return entry("x", "Place, to the right", "to the right"), entry("y", "Place, up", "up the plan")


def obstacle(design: Design, obstacle_id: str) -> Obstacle:
    """The obstacle with this id; KeyError when there is none."""
    for found in design.obstacles:
        if found.id == obstacle_id:
            return found
    raise KeyError(obstacle_id)


def _entry(
    label: str,
    why: str,
    form: Form,
    read: Callable[[Analysis, str], Any],
    write: Callable[[Design, Ids, Any], Design],
) -> Entry:
    return Entry(label, f"Set the {label[0].lower()}{label[1:]}", why, form, read, write)
