"""The conditions that a sieve holds rows to, and how near a limit is left to the careful checks."""

__all__ = [
    "BEATEN",
    "LAST_BITS",
    "LATER",
    "LEAST_SINE",
    "LEAST_TILT_DEG",
    "OF_STRENGTH",
    "REASONS",
    "REFIT",
    "REFIT_ONCE",
    "SWAPPED_AT_MOST",
    "UNASKED",
    "WAITS",
]

# what a row falls under; 0 = it may pass
REASONS = (
    "",
    "hangs-not",
    "rated-load",
    "pick-rating",
    "least-angle",
    "headroom",
    "tilt",
    "swap",
    "slip",
    "slack-leg",
    "wet",
)
OF_STRENGTH = (*REASONS[1:4], "wet")  # of every case, the others of the pose alone
UNASKED = -1
BEATEN = -2  # a lane not hung to the end: it is sure to be graded, and that is enough to lose
WAITS = -3  # it passes as told; its corners are hung when its turn comes
LATER = -4  # asked for, not hung before its turn comes
SWAPPED_AT_MOST = 4  # legs; more orders than that are left to the careful evaluation
REFIT_ONCE = 0.005  # relative: what is left after the sieve took the tangents anew once
REFIT = (
    0.05  # relative: more than taking a string anew for the stretched hook moves a figure (own sweep: 2 %)
)
LAST_BITS = 1e-9  # relative: the check itself decides what lies so near a limit
LEAST_SINE = 1e-2  # keeps a flat leg's figure finite; such an angle is a stop of its own
LEAST_TILT_DEG = 1e-9  # so that "level" has a share of its limit to be over
