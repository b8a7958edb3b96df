"""Where a rising or falling function passes zero."""

from collections.abc import Callable


def crossing(
    function: Callable[[float], float], low: float, high: float, tolerance: float = 1e-10
) -> float:
    """A zero of a function that has opposite signs at `low` and `high`.

    False position with Illinois' halving; every third step halves the bracket, so that a jump is
    found too. `tolerance` is relative to the larger end of the bracket. Raises ValueError where
    the signs are equal.
    """
    at_low, at_high = function(low), function(high)
    if at_low == 0:
        return low
    if at_high == 0:
        return high
    if (at_low > 0) == (at_high > 0):
        raise ValueError("The function does not change its sign between the two ends.")
    kept = 0
    for turn in range(200):
        if abs(high - low) <= tolerance * max(abs(low), abs(high)):
            break
        middle = low - at_low * (high - low) / (at_high - at_low)
        if turn % 3 == 2 or not min(low, high) < middle < max(low, high):
            middle = (low + high) / 2
        value = function(middle)
        if value == 0:
            return middle
        if (value > 0) == (at_high > 0):
            high, at_high = middle, value
            at_low = at_low / 2 if kept == 1 else at_low
            kept = 1
        else:
            low, at_low = middle, value
            at_high = at_high / 2 if kept == -1 else at_high
            kept = -1
    return (low + high) / 2
