"""Water in the bed: feed, drain, outlets, reservoir; pure computation in SI units."""
