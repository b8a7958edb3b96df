"""The size of a bucket's letter."""

from designer.drawing.fonts import text_width
from designer.model.parts import BucketPart

TALLEST = 5.0
"""Height of the letters where their buckets are large enough, mm on paper."""


def letter_size(label: str, bucket: BucketPart, scale: float) -> float:
    """Height at which a letter stands within its bucket, clear of the base's edge, mm of the
    thing."""
    rim = bucket.rim_diameter / 2
    return min(TALLEST * scale, 0.8 * rim, 1.5 * rim / text_width(label, 1.0, bold=True))
