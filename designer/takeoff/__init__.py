"""What to buy and what to cut, by count from an analysis."""
