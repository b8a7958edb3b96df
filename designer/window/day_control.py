"""The time of the day whose water is shown: a slider, and a button that lets the day run."""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSlider, QWidget

STEP_SECONDS = 30
DAY_SECONDS = 24 * 3600
DAY_STEPS = DAY_SECONDS // STEP_SECONDS
FRAME_MS = 50
STEPS_A_FRAME = 2
"""A day then runs through in a little over a minute."""


class DayControl(QWidget):
    """Emits the time that was chosen, in s from midnight."""

    moved = Signal(float)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setRange(0, DAY_STEPS)
        self.slider.setSingleStep(300 // STEP_SECONDS)
        self.slider.setPageStep(3600 // STEP_SECONDS)
        self.slider.setMinimumHeight(24)
        self.slider.setAccessibleName("Time of the day")
        self.slider.setToolTip("Move the water on the drawing to a time of the day")
        self.play = QPushButton("Play")
        self.play.setCheckable(True)
        self.play.setToolTip("Let the day run on the drawing")
        self.time = QLabel()
        self.time.setMinimumWidth(self.time.fontMetrics().horizontalAdvance("00:00 pump off "))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.play)
        row.addWidget(self.slider, 1)
        row.addWidget(self.time)
        self._clock = QTimer(self, interval=FRAME_MS)
        self._clock.timeout.connect(self._tick)
        self.play.toggled.connect(self._play)
        self.slider.valueChanged.connect(lambda value: self.moved.emit(value * STEP_SECONDS))
        self.show_pump(None)

    @property
    def seconds(self) -> float:
        """The time chosen, s from midnight."""
        return float(self.slider.value() * STEP_SECONDS)

    def show_pump(self, on: bool | None) -> None:
        """Say the time, and whether the pump runs then where that is known."""
        minutes = int(self.seconds // 60)
        state = "" if on is None else " pump on" if on else " pump off"
        self.time.setText(f"{minutes // 60:02d}:{minutes % 60:02d}{state}")

    def pause(self) -> None:
        """Let the day stand still."""
        self.play.setChecked(False)

    def _play(self, running: bool) -> None:
        self.play.setText("Pause" if running else "Play")
        if running:
            if self.slider.value() == DAY_STEPS:
                self.slider.setValue(0)
            self._clock.start()
        else:
            self._clock.stop()

    def _tick(self) -> None:
        self.slider.setValue(self.slider.value() + STEPS_A_FRAME)
        if self.slider.value() == DAY_STEPS:
            self.pause()
