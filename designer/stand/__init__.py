"""Will it hold: beams, timber, loads, supports, shims and lifting. SI inside: m, N, Pa, kg."""
