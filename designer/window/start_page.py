"""The start page: a few questions for a first design, recent designs, and the samples."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from designer.model.faults import DesignError
from designer.model.file import read_design
from designer.resources import sample_paths
from designer.window.picture import Picture, in_words, render
from designer.window.questions import Questions
from designer.window.recent import short_folder, short_name
from designer.window.tints import toned_label

if TYPE_CHECKING:
    from designer.window.shell import Shell

PREVIEW_AFTER_MS = 150
THUMB = QSize(116, 78)
MOST_RECENT = 5
COLUMN_LINES = 15
"""Width of the columns of questions and of files, in heights of a line of text."""


class StartPage(QScrollArea):
    """What a window shows while no design is open."""

    drawn = Signal(object)
    """The design drawn from the answers."""
    open_asked = Signal()
    file_chosen = Signal(object)
    sample_chosen = Signal(object)

    def __init__(self, shell: "Shell") -> None:
        super().__init__()
        self._shell = shell
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.questions = Questions(shell.settings)
        self.questions.changed.connect(self._answered)
        self.preview = Picture()
        self.preview.setAccessibleName("Preview of the design")
        self.problem = toned_label("", "refused")
        self.draw = QPushButton("Dra&w it")
        self.draw.setDefault(True)
        self.draw.setMinimumSize(128, 34)
        self.draw.clicked.connect(self._draw)
        self.samples: list[Row] = []
        self.recent = QVBoxLayout()
        self._unpainted: list[tuple[Row, Path]] = []
        self._timer = QTimer(self, singleShot=True, interval=PREVIEW_AFTER_MS)
        self._timer.timeout.connect(self._show_preview)
        self.preview.resized.connect(self._timer.start)
        # Pictures of the samples, one at a time between other events.
        self._painter = QTimer(self, interval=0)
        self._painter.timeout.connect(self._paint_next)
        self._lay_out()
        self._answered()

    def refresh(self) -> None:
        """Show the recent files as they are now, and begin to draw the pictures."""
        while self.recent.count():
            item = self.recent.takeAt(0)
            if item is not None and item.widget() is not None:
                item.widget().deleteLater()
        paths = self._shell.recent.paths()[:MOST_RECENT]
        for path in paths:
            name = short_name(path)
            button = Row(name, short_folder(path), f"Open {name}")
            button.setToolTip(str(path))
            button.clicked.connect(lambda _=False, path=path: self.file_chosen.emit(path))
            self.recent.addWidget(button)
        if not paths:
            self.recent.addWidget(toned_label("Designs you save are listed here.", "soft"))
        self._timer.start()
        if self._unpainted:
            self._painter.start()

    def show_colours(self) -> None:
        """Draw the pictures in the colours of the theme in force."""
        self._unpainted = list(zip(self.samples, sample_paths(), strict=False))
        if self.isVisible():
            self._timer.start()
            self._painter.start()

    def _answered(self) -> None:
        problem = self.questions.problem
        told = any(field.reason == problem for field in self.questions.fields)
        self.problem.setText(problem)
        self.problem.setVisible(bool(problem) and not told)
        self.draw.setEnabled(self.questions.design is not None or bool(problem))
        self._timer.start()

    def _draw(self) -> None:
        design = self.questions.finish()
        self._answered()
        if design is not None:
            self.drawn.emit(design)

    def _show_preview(self) -> None:
        if not self.isVisible():
            return
        design = self.questions.design
        if design is None:
            self.preview.clear("The picture comes back when the answers fit.")
            return
        colours, ratio = self._shell.theme.colours, self.devicePixelRatioF()
        image = render(design, self.preview.room, colours, ratio=ratio)
        self.preview.show_image(image, in_words(design))

    def _paint_next(self) -> None:
        if not self._unpainted or not self.isVisible():
            self._painter.stop()
            return
        button, path = self._unpainted.pop(0)
        try:
            design = read_design(path).design
        except DesignError:
            return  # opening it says what is wrong
        colours, ratio = self._shell.theme.colours, self.devicePixelRatioF()
        image = render(design, THUMB, colours, both=False, ratio=ratio)
        button.picture.setPixmap(QPixmap.fromImage(image))

    # --- layout ---------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        page = QWidget()
        outer = QHBoxLayout(page)
        outer.setContentsMargins(20, 16, 20, 16)
        inner = QWidget()
        inner.setMaximumWidth(1320)
        outer.addWidget(inner)
        columns = QHBoxLayout(inner)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(24)
        columns.addLayout(self._new_column(), 1)
        columns.addLayout(self._open_column())
        self.setWidget(page)

    def _new_column(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(4)
        column.addWidget(_toned("Draw a new bed", "title"))
        column.addWidget(
            toned_label(
                "Answer what you know. Everything can be dragged and changed later.", "soft"
            )
        )
        column.addSpacing(8)
        card = _card()
        row = QHBoxLayout(card)
        row.setContentsMargins(20, 18, 20, 18)
        row.setSpacing(24)
        left = QVBoxLayout()
        left.setSpacing(12)
        self.questions.setFixedWidth(COLUMN_LINES * self.fontMetrics().height())
        left.addWidget(self.questions, 1)
        row.addLayout(left)
        right = QVBoxLayout()
        right.addWidget(self.preview, 1)
        right.addWidget(self.problem)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(self.draw)
        right.addLayout(foot)
        row.addLayout(right, 1)
        column.addWidget(card, 1)
        return column

    def _open_column(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setSpacing(6)
        column.addWidget(_toned("Open a design", "title"))
        column.addSpacing(6)
        choose = QPushButton("&Open a file…")
        choose.setMinimumHeight(32)
        choose.clicked.connect(self.open_asked)
        column.addWidget(choose)
        self.recent.setSpacing(2)
        column.addLayout(self.recent)
        paths = sample_paths()
        if paths:
            column.addSpacing(12)
            column.addWidget(_toned("Look at a sample", "heading"))
            column.addLayout(self._sample_rows(paths))
        column.addStretch(1)
        side = QVBoxLayout()
        holder = QWidget()
        holder.setFixedWidth(COLUMN_LINES * self.fontMetrics().height())
        holder.setLayout(column)
        column.setContentsMargins(0, 0, 0, 0)
        side.addWidget(holder)
        return side

    def _sample_rows(self, paths: Iterable[Path]) -> QVBoxLayout:
        rows = QVBoxLayout()
        rows.setSpacing(2)
        for path in paths:
            title = sample_title(path)
            button = Row(title, "", f"Open the sample {title}", THUMB)
            button.clicked.connect(lambda _=False, path=path: self.sample_chosen.emit(path))
            rows.addWidget(button)
            self.samples.append(button)
        return rows


def sample_title(path: Path) -> str:
    """A sample's name, from its file's: "north-bed.rill" is "North bed"."""
    words = path.stem.replace("-", " ").replace("_", " ")
    return words[:1].upper() + words[1:]


class Row(QPushButton):
    """A wide flat button with a title, a second line below it, and a picture before them."""

    def __init__(self, title: str, below: str, name: str, picture: QSize | None = None) -> None:
        super().__init__()
        self.setProperty("row", "true")
        self.setAccessibleName(name)
        line = QHBoxLayout(self)
        line.setContentsMargins(8, 5, 8, 5)
        line.setSpacing(10)
        self.picture = QLabel()
        if picture is not None:
            self.picture.setFixedSize(picture)
            line.addWidget(self.picture)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addStretch(1)
        bold = toned_label(title, "strong")
        words.addWidget(bold)
        if below:
            words.addWidget(toned_label(below, "soft"))
        words.addStretch(1)
        line.addLayout(words, 1)
        for label in self.findChildren(QLabel):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        return self.layout().sizeHint()

    def hasHeightForWidth(self) -> bool:
        return True

    def heightForWidth(self, width: int) -> int:
        return max(24, self.layout().totalHeightForWidth(width))


def _toned(text: str, tone: str) -> QWidget:
    label = toned_label(text, tone)
    label.setWordWrap(False)
    return label


def _card() -> QFrame:
    card = QFrame()
    card.setProperty("card", "true")
    return card
