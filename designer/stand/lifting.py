"""Lifting a bucket: the revised NIOSH lifting equation. Distances in cm, masses in kg."""

LOAD_CONSTANT = 23.0
"""kg; safe for 75 % of women and 90 % of men under ideal conditions (CCOHS on NIOSH)."""


def recommended_weight(
    reach: float,
    height: float,
    travel: float,
    *,
    twist: float = 0.0,
    often: float = 1.0,
    grip: float = 1.0,
) -> float:
    """The recommended weight limit RWL = LC HM VM DM AM FM CM, kg.

    `reach` H from the ankles to the hands, `height` V of the hands above the floor, `travel` D up
    or down, all cm; `twist` A in degrees; `often` and `grip` are the multipliers FM and CM.
    HM = 25/H, VM = 1 - 0.003 |V - 75|, DM = 0.82 + 4.5/D (NIOSH 94-110, second-hand);
    AM = 1 - 0.0032 A and the ends of the ranges (H 63, V and D 175 cm, A 135) from memory.
    """
    if reach > 63 or height > 175 or travel > 175 or twist > 135 or height < 0:
        return 0.0
    horizontal = min(25 / max(reach, 25.0), 1.0)
    vertical = max(1 - 0.003 * abs(height - 75), 0.0)
    distance = min(0.82 + 4.5 / max(travel, 25.0), 1.0)
    return LOAD_CONSTANT * horizontal * vertical * distance * (1 - 0.0032 * twist) * often * grip


def reach_over(width: float) -> float:
    """H in cm for a load of `width` cm held against the body: 20 + W / 2 (NIOSH, from memory)."""
    return 20 + width / 2
