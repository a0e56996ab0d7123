"""Bounds of a hang problem's figures. Wide enough for any lift, narrow enough to catch a wrong unit.

Own judgement, no source: the heaviest cranes lift some 5 000 t and the longest slings are tens of metres; a
length in millimetres or a weight in grams falls outside.
"""

MOST_BODIES = 6
MOST_PATHS = 64
MOST_POINTS = 32
SIZE_M = 1000.0
LENGTH_LEAST_M = 1e-3
LENGTH_MOST_M = 1000.0
WEIGHT_LEAST_N = 1e-2
WEIGHT_MOST_N = 2e8
RATED_MOST_N = 2e9
STRAIN_LEAST = 1e-6
STRAIN_MOST = 1.0
# a path that stretches more than this when it alone holds everything is a wrong unit, not a sling
STRETCH_MOST = 10.0
# near-rigid paths: below this share of its length a stretch drowns in the rounding of its coordinates
STRETCH_LEAST = 3e-6
