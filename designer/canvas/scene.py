"""Keeps the scene's items in step with a view's groups, building only what differs."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPathItem, QGraphicsRectItem, QGraphicsScene

from designer.canvas.hit import joined, main_outline, meet, touches
from designer.canvas.painter import Ink, add_records
from designer.drawing.records import Box, Circle, Group, Line, Record, Text, extent, text_box

SMALLEST_TEXT = 6.0
"""Texts lower than this many pixels cannot be read and are left out."""
CHOSEN_PIXELS = 3.0
OVER = "water:"
"""Keys of what lies over the things without being one: a hand reaches through it."""
_KEY = 0
_ABOVE = 1e9


@dataclass
class _Kept:
    """A group as it stands in the scene. The texts belong to `item` and go with it."""

    subject: str | None
    token: object
    item: QGraphicsItem
    records: list[Record]
    box: Box | None
    texts: list[tuple[float, QGraphicsItem]] = field(default_factory=list)
    z: int = -1
    """Its place in the order of drawing; Qt is told only when that changes."""


class Pane:
    """One projection in the scene: its groups under one parent item that can be shifted."""

    def __init__(self, scene: QGraphicsScene, ink: Ink) -> None:
        self.scene = scene
        self.ink = ink
        self.root = _container(None)
        scene.addItem(self.root)
        self._kept: dict[str, _Kept] = {}
        self._chosen: QGraphicsItem | None = None
        self._caption: _Kept | None = None
        self.built: list[str] = []
        """Keys of the groups that the last update built."""

    @property
    def shift(self) -> float:
        """How far up the pane's own origin lies in the scene, mm."""
        return self.root.y()

    def set_shift(self, shift: float) -> None:
        """Move the whole pane up or down."""
        self.root.setPos(0.0, shift)

    def set_ink(self, ink: Ink) -> None:
        """Use other colours; the next update builds everything again."""
        self.ink = ink
        for kept in self._kept.values():
            self.scene.removeItem(kept.item)
        self._kept.clear()
        self.caption("", 0.0)

    def update(self, groups: Iterable[Group], pixels_per_mm: float) -> None:
        """Make the scene show these groups, drawn in their order."""
        self.built = []
        present: dict[str, _Kept] = {}
        for index, group in enumerate(groups):
            kept = self._kept.pop(group.key, None)
            if kept is None or kept.token != group.token or kept.subject != group.subject:
                if kept is not None:
                    self.scene.removeItem(kept.item)
                kept = self._build(group, pixels_per_mm)
            if kept.z != index:
                kept.z = index
                kept.item.setZValue(index)
            present[group.key] = kept
        for gone in self._kept.values():
            self.scene.removeItem(gone.item)
        self._kept = present

    def _build(self, group: Group, pixels_per_mm: float) -> _Kept:
        self.built.append(group.key)
        records = group.build()
        item = _container(self.root)
        item.setData(_KEY, group.key)
        texts = add_records(records, item, self.ink)
        kept = _Kept(group.subject, group.token, item, records, extent(records), texts)
        _show_texts(kept, pixels_per_mm)
        return kept

    def show_readable_texts(self, pixels_per_mm: float) -> None:
        """Hide the texts that are too low to read at a zoom."""
        for kept in self._kept.values():
            _show_texts(kept, pixels_per_mm)
        if self._caption is not None:
            _show_texts(self._caption, pixels_per_mm)

    def caption(self, text: str, height: float) -> None:
        """Write what the pane is in its upper left corner, above it where something stands there;
        the box then counts it in. No text takes it away."""
        if self._caption is not None:
            self.scene.removeItem(self._caption.item)
            self._caption = None
        box = self.box()
        if not text or box is None:
            return
        item = _container(self.root)
        place = Text(box[0], box[3] - height / 2, text, height, "text_soft", "start")
        if self._stands_in(text_box(place)):
            place = place._replace(y=box[3] + height)
        texts = add_records([place], item, self.ink)
        self._caption = _Kept(None, None, item, [place], extent([place]), texts)

    def _stands_in(self, area: Box) -> bool:
        """Whether anything is drawn in a box."""
        near = (k.records for k in self._kept.values() if k.box is not None and meet(k.box, area))
        boxes = (extent([record]) for records in near for record in records)
        return any(box is not None and meet(box, area) for box in boxes)

    def box(self, subjects: Iterable[str] | None = None) -> Box | None:
        """The box around everything, or around some subjects, in the pane's own frame."""
        wanted = None if subjects is None else frozenset(subjects)
        kept = [k for k in self._kept.values() if wanted is None or k.subject in wanted]
        if self._caption is not None and wanted is None:
            kept.append(self._caption)
        return joined([k.box for k in kept if k.box is not None])

    def subject_at(
        self, x: float, y: float, reach: float, among: Collection[str] | None = None
    ) -> str | None:
        """The subject at a point in the pane's own frame: what is on top of what is under the
        point, else what is nearest within `reach`. `among` leaves out all others."""
        best: tuple[float, float, str] | None = None
        area = QRectF(x - reach, y + self.shift - reach, 2 * reach, 2 * reach)
        keys = {item.parentItem().data(_KEY) for item in self._items(area)}
        for key in keys:
            kept = self._kept.get(key)
            if kept is None or kept.subject is None or key.startswith(OVER):
                continue
            if among is not None and kept.subject not in among:
                continue
            near = touches(kept.records, x, y, reach)
            if near is not None:
                rank = (near, -kept.item.zValue(), kept.subject)
                best = rank if best is None else min(best, rank)
        return best[2] if best else None

    def _items(self, area: QRectF) -> Iterator[QGraphicsItem]:
        for item in self.scene.items(area, Qt.ItemSelectionMode.IntersectsItemBoundingRect):
            parent = item.parentItem()
            if parent is not None and parent.parentItem() is self.root:
                yield item

    def subject_boxes(self) -> dict[str, Box]:
        """The box of each subject's own shape, without its marks and texts."""
        boxes: dict[str, Box] = {}
        for kept in self._subject_groups():
            box = extent(main_outline(kept.records))
            if box is not None:
                known = boxes.get(kept.subject or "")
                boxes[kept.subject or ""] = box if known is None else joined([known, box]) or box
        return boxes

    def _subject_groups(self) -> Iterator[_Kept]:
        for key, kept in self._kept.items():
            if kept.subject is not None and not key.startswith(("mark:", OVER)):
                yield kept

    def show_chosen(self, subjects: Iterable[str]) -> None:
        """Draw the outlines of the chosen subjects above everything."""
        if self._chosen is not None:
            self.scene.removeItem(self._chosen)
            self._chosen = None
        chosen = frozenset(subjects)
        groups = [k for k in self._subject_groups() if k.subject in chosen]
        if not groups:
            return
        holder = self._chosen = _container(self.root)
        holder.setZValue(_ABOVE)
        pen = QPen(self.ink.colour("chosen"), CHOSEN_PIXELS)
        pen.setCosmetic(True)
        for outline in filter(None, (main_outline(kept.records) for kept in groups)):
            # One without an outline, as a letter, would be painted anew at the scene's origin.
            item = QGraphicsPathItem(_path(outline), holder)
            item.setPen(pen)


def _container(parent: QGraphicsItem | None) -> QGraphicsItem:
    """An item that draws nothing and holds others."""
    item = QGraphicsRectItem(parent)
    item.setFlag(QGraphicsItem.GraphicsItemFlag.ItemHasNoContents)
    return item


def _show_texts(kept: _Kept, pixels_per_mm: float) -> None:
    for height, item in kept.texts:
        readable = height * pixels_per_mm >= SMALLEST_TEXT
        if item.isVisible() != readable:
            item.setVisible(readable)


def _path(records: list[Record]) -> QPainterPath:
    path = QPainterPath()
    for record in records:
        if isinstance(record, Circle):
            path.addEllipse(QPointF(record.x, record.y), record.radius, record.radius)
        elif isinstance(record, Line):
            path.moveTo(*record.points[0])
            for point in record.points[1:]:
                path.lineTo(*point)
            if record.closed:
                path.closeSubpath()
    return path
