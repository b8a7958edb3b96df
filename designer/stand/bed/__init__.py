"""A laid-out run as beams, stacks and weights, and the answers in mm, N, N/mm2 and kg."""
