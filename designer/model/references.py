"""What must hold between the records of a design: ids used once; parts, crops and grades exist."""

from collections.abc import Iterator, Sequence

from designer.model.catalogue import Catalogue
from designer.model.design import Design, Run
from designer.model.faults import Fault, did_you_mean, place_of, quoted
from designer.model.json_text import Loc

_KIND_WORDS = {
    "hole_saw": "hole saw",
    "plug": "end plug",
}


def reference_faults(design: Design, catalogue: Catalogue) -> tuple[Fault, ...]:
    """Ids given twice, parts or crops that neither the catalogue nor the design has, and grades of
    timber that no table has."""
    return (
        *_repeated_ids(design),
        *_unknown_parts(design, catalogue.with_own(design.own_parts)),
        *_unknown_grades(design, catalogue.grades),
    )


def _repeated_ids(design: Design) -> Iterator[Fault]:
    names = tuple(run.name for run in design.runs)
    first: dict[str, Loc] = {}
    for loc, used in _ids(design):
        if used in first:
            where = place_of(first[used], names)
            text = f"has the id {quoted(used)}, which {where} already has; give it another id"
            yield Fault(place_of(loc, names), text)
        first.setdefault(used, loc)


def _ids(design: Design) -> Iterator[tuple[Loc, str]]:
    for i, run in enumerate(design.runs):
        yield ("runs", i), run.id
        for j, bucket in enumerate(run.buckets):
            yield ("runs", i, "buckets", j), bucket.id
    for i, obstacle in enumerate(design.obstacles):
        yield ("obstacles", i), obstacle.id
    for i, part in enumerate(design.own_parts):
        yield ("own_parts", i), part.id


def _unknown_parts(design: Design, catalogue: Catalogue) -> Iterator[Fault]:
    names = tuple(run.name for run in design.runs)
    for loc, kind, wanted in _wanted(design):
        place = place_of(loc, names)
        known = catalogue.crops if kind == "crop" else catalogue.parts
        word = _KIND_WORDS.get(kind, kind)
        if wanted not in known:
            home = (
                "which is not in the list of crops"
                if kind == "crop"
                else "which is neither in the parts catalogue nor among the design's own parts"
            )
            text = f"asks for the {word} {quoted(wanted)}, {home}"
        elif kind != "crop" and catalogue.parts[wanted].kind != kind:
            other = catalogue.parts[wanted].kind
            text = f"asks for {quoted(wanted)} as its {word}, but that is a part of the kind "
            text += f"'{_KIND_WORDS.get(other, other)}'"
        else:
            continue
        fitting = (
            catalogue.crops if kind == "crop" else [part.id for part in catalogue.of_kind(kind)]
        )
        near = did_you_mean(wanted, fitting)
        yield Fault(place, f"{text}; " + (f"did you mean '{near}'?" if near else "choose another"))


def _unknown_grades(design: Design, grades: Sequence[str]) -> Iterator[Fault]:
    names = tuple(run.name for run in design.runs)
    for i, run in enumerate(design.runs):
        wanted = run.stand.timber
        if wanted is not None and wanted not in grades:
            near = did_you_mean(wanted, grades)
            text = f"asks for the timber grade {quoted(wanted)}, which is in no table; "
            text += f"did you mean '{near}'?" if near else f"choose {', '.join(grades)} or none"
            yield Fault(place_of(("runs", i, "stand"), names), text)


def _wanted(design: Design) -> Iterator[tuple[Loc, str, str]]:
    """Each part or crop asked for: where, of which kind, and its id."""
    for i, run in enumerate(design.runs):
        yield from _wanted_by_run(run, ("runs", i))
    if design.reservoir:
        yield ("reservoir",), "reservoir", design.reservoir.part
        yield ("reservoir",), "pump", design.reservoir.pump


def _wanted_by_run(run: Run, loc: Loc) -> Iterator[tuple[Loc, str, str]]:
    yield loc, "bucket", run.bucket
    yield loc, "crop", run.crop
    yield loc, "medium", run.medium
    yield (*loc, "outlet"), "hole_saw", run.outlet.saw
    yield (*loc, "outlet"), "grommet", run.outlet.grommet
    yield (*loc, "outlet"), "elbow", run.outlet.elbow
    yield (*loc, "outlet"), "pipe", run.outlet.pipe
    yield (*loc, "drain"), "pipe", run.drain.pipe
    yield (*loc, "drain"), "hole_saw", run.drain.saw
    yield (*loc, "drain"), "cap", run.drain.cap
    yield (*loc, "manifold"), "tube", run.manifold.tube
    yield (*loc, "manifold"), "tube", run.manifold.feed_tube
    yield (*loc, "manifold"), "barb", run.manifold.barb
    yield (*loc, "manifold"), "plug", run.manifold.plug
    if run.manifold.emitter is not None:
        yield (*loc, "manifold"), "emitter", run.manifold.emitter
    yield (*loc, "stand"), "board", run.stand.rail
    yield (*loc, "stand"), "block", run.stand.block
    for j, bucket in enumerate(run.buckets):
        if bucket.part is not None:
            yield (*loc, "buckets", j), "bucket", bucket.part
        if bucket.crop is not None:
            yield (*loc, "buckets", j), "crop", bucket.crop
