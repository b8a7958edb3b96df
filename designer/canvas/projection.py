"""Plan and elevation in one scene: the elevation stands below the plan at the same stations."""

from collections.abc import Iterable
from itertools import chain

from PySide6.QtWidgets import QGraphicsScene

from designer.analysis import Analysis
from designer.canvas.gestures import PaneName
from designer.canvas.hit import joined
from designer.canvas.painter import Ink
from designer.canvas.scene import Pane
from designer.canvas.water_on_sheet import WaterShown
from designer.drawing.elevation import elevation_groups
from designer.drawing.plan import plan_groups
from designer.drawing.records import Box, Group

CAPTION = 3.5
GAP = 8.0
"""Room between plan and elevation, mm of paper."""


class Projection:
    """Both panes. `divide` is the scene's y between them, None without an elevation."""

    def __init__(self, scene: QGraphicsScene, ink: Ink) -> None:
        self.plan = Pane(scene, ink)
        self.elevation = Pane(scene, ink)
        self.panes: dict[PaneName, Pane] = {"plan": self.plan, "elevation": self.elevation}
        self.divide: float | None = None

    def set_ink(self, ink: Ink) -> None:
        """Use other colours; the next update builds everything again."""
        for pane in self.panes.values():
            pane.set_ink(ink)

    def update(
        self,
        analysis: Analysis,
        run_id: str | None,
        scale: float,
        zoom: float,
        water: WaterShown | None = None,
        sag: bool = False,
    ) -> None:
        """Draw an analysis along one of its runs, with texts laid out for a scale, and its water
        and the sag of its rails over that."""
        plan: Iterable[Group] = plan_groups(analysis, run_id, scale)
        elevation: Iterable[Group] = elevation_groups(analysis, run_id, scale)
        if water is not None and run_id is not None:
            plan = chain(plan, water.plan(analysis, run_id, scale))
            elevation = chain(elevation, water.elevation(analysis, run_id, scale))
        if sag:
            # Imported here: a sheet that does not show it does not wait for it.
            from designer.drawing.sagging import sag_groups

            elevation = chain(elevation, sag_groups(analysis, run_id, scale))
        self.plan.update(plan, zoom)
        self.elevation.update(elevation, zoom)

    def place_elevation(self, scale: float, exactly: bool = False) -> float:
        """Put the elevation below the plan; returns how far it was moved up, mm.

        Unless `exactly`, it stays while the room between the panes is near what it should be, so
        that it does not creep with every small change of the plan.
        """
        self.plan.caption("Plan", CAPTION * scale)
        self.elevation.caption("Elevation", CAPTION * scale)
        above, below = self.plan.box(), self.elevation.box()
        if below is None:
            self.divide = None
            return 0.0
        gap, bottom = GAP * scale, above[1] if above else 0.0
        wanted = bottom - gap - below[3]
        moved = wanted - self.elevation.shift
        if not exactly and -gap / 2 <= moved <= gap / 2:
            moved = 0.0
        if moved:
            self.elevation.set_shift(wanted)
        self.divide = (bottom + below[3] + self.elevation.shift) / 2
        return moved

    def pane_at(self, y: float) -> PaneName:
        """The pane at a height in the scene."""
        return "plan" if self.divide is None or y >= self.divide else "elevation"

    def show_chosen(self, subjects: Iterable[str]) -> None:
        """Mark what is chosen in both panes."""
        for pane in self.panes.values():
            pane.show_chosen(subjects)

    def show_readable_texts(self, zoom: float) -> None:
        """Hide the texts that are too low to read at a zoom."""
        for pane in self.panes.values():
            pane.show_readable_texts(zoom)

    def whole(self) -> Box | None:
        """The box of the scene around both panes."""
        boxes = []
        for pane in self.panes.values():
            box = pane.box()
            if box is not None:
                boxes.append((box[0], box[1] + pane.shift, box[2], box[3] + pane.shift))
        return joined(boxes)

    def size_alone(self) -> tuple[float, float]:
        """Width and height of what is drawn, mm, one pane below the other, without dimensions and
        texts, whose size depends on the scale."""
        boxes = [joined(list(pane.subject_boxes().values())) for pane in self.panes.values()]
        drawn = [box for box in boxes if box is not None]
        width = max((box[2] - box[0] for box in drawn), default=0.0)
        return width, sum(box[3] - box[1] for box in drawn)

    def around(self, subjects: list[str], room: float, view: PaneName = "plan") -> Box | None:
        """The box of the scene around some subjects in a pane, with room beside them; in the plan
        when that pane draws none of them, and around everything when the plan does neither."""
        pane = self.panes[view]
        box = pane.box(subjects)
        if box is None and view != "plan":
            return self.around(subjects, room)
        if box is None:
            return self.whole()
        room = max(room, (box[2] - box[0]) / 10, (box[3] - box[1]) / 10)
        up = pane.shift
        return box[0] - room, box[1] + up - room, box[2] + room, box[3] + up + room
