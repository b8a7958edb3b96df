"""Which parts can be seen in a view, and where: what its balloons point at.

A part is named by its id in the take-off.
"""

from typing import NamedTuple

from shapely.geometry import LineString

from designer.drawing.frame import ViewFrame
from designer.drawing.return_plane import ReturnEnd
from designer.drawing.section_plane import Section
from designer.layout.outlet import outside_diameter_at
from designer.layout.run import RunLayout
from designer.takeoff.pieces import drain_line
from designer.takeoff.quantities import drain_elbow_id


class PartPlace(NamedTuple):
    """A part, and a point of it in the view."""

    item: str
    x: float
    y: float


def section_parts(section: Section) -> list[PartPlace]:
    """The parts of the cross-section."""
    faces, side, parts = section.faces, section.side, section.layout.parts
    place, run = section.place, section.layout.run
    axis, y = place.assembly.bucket_axis, place.outlet
    height = place.part.height

    def wall(share: float) -> float:
        """Outside of the far wall at a share of the height."""
        return axis + outside_diameter_at(place.part, share * height) / 2

    tube_x, tube_y = section.manifold
    path = section.feed(faces)
    found = [
        PartPlace(
            place.part.id, side * (wall(0.7) - place.part.wall / 2), place.base + 0.7 * height
        ),
        PartPlace("bucket-lid", side * (axis + 0.36 * place.part.rim_diameter), faces.rim_level),
        PartPlace("liner-bag", side * (wall(0.5) - place.part.wall - 5), place.base + 0.5 * height),
        PartPlace(parts.medium.id, side * (axis + 20), 0.8 * faces.medium_level + 0.2 * y),
        PartPlace(
            parts.grommet.id,
            side * (place.assembly.wall + place.part.wall + parts.grommet.flange_thickness / 2),
            y + 0.45 * parts.grommet.flange_diameter,
        ),
        PartPlace(parts.elbow.id, -side * 0.3 * parts.elbow.body_diameter, y),
        PartPlace(parts.outlet_pipe.id, side * (place.assembly.wall * 0.7), y - 1),
        PartPlace(
            parts.drain.id, -side * (parts.drain.outside_diameter / 2 - 1), section.drain_axis
        ),
        PartPlace(parts.manifold.id, tube_x, tube_y),
        PartPlace(parts.barb.id, tube_x, tube_y + parts.manifold.outside_diameter / 2 + 6),
        PartPlace(parts.feed_tube.id, tube_x, (tube_y + path[-1][1]) / 2),
    ]
    if run.manifold.emitter is not None:
        found.append(PartPlace(run.manifold.emitter, path[-1][0], path[-1][1] + 4))
    for item, shapes in (
        (parts.rail.id, section.rails),
        (parts.block.id, section.blocks),
        ("packing", section.packing),
        ("shims", section.shims[:1] if section.support and section.support.shim > 0 else ()),
        ("rail-shims", section.shims[1:]),
    ):
        if shapes:
            left, low, right, high = shapes[-1 if side < 0 else 0].bounds
            found.append(PartPlace(item, (left + right) / 2, low + 0.4 * (high - low)))
    return found


def return_parts(end: ReturnEnd) -> list[PartPlace]:
    """The parts of the return end."""
    tank, parts = end.tank, end.layout.parts
    middle = (tank.low_level + tank.full_level) / 2
    left, _ = end.chord(middle)
    x, y = end.feed[1]
    found = [
        PartPlace(tank.part.id, left - tank.part.wall / 2, middle),
        PartPlace(tank.pump.id, end.pump_x - 30, tank.floor_level + 20),
        PartPlace(parts.drain.id, 0.3 * end.drain_to, end.invert(0.3 * end.drain_to) - 1),
        PartPlace(parts.manifold.id, x, (y + max(tank.rim_level, tank.full_level)) / 2),
    ]
    turns = drain_line(end.layout).bends
    if end.bends and turns:
        turn = turns[-1]
        axis = end.invert(end.drain_to) + parts.drain.bore / 2
        found.append(PartPlace(drain_elbow_id(parts.drain, turn), end.drain_to, axis))
    return found


def plan_parts(layout: RunLayout, view: ViewFrame) -> list[PartPlace]:
    """The parts that only the plan of a run shows: at its ends and at the bends of its drain."""
    run, parts, frame = layout.run, layout.parts, layout.frame
    past = run.length + 0.2 * parts.drain.outside_diameter
    found = [
        PartPlace(parts.cap.id, *view.to_view(*frame.at(past))),
        PartPlace(parts.plug.id, *view.to_view(*frame.at(run.length, run.manifold.offset))),
    ]
    line = drain_line(layout)
    path = LineString([frame.at(run.length), *layout.return_points])
    done = 0.0
    for stretch, turn in zip(line.stretches, line.bends, strict=False):
        done += sum(stretch)
        corner = path.interpolate(done)
        at = view.to_view(corner.x, corner.y)
        found.append(PartPlace(drain_elbow_id(parts.drain, turn), *at))
    return found
