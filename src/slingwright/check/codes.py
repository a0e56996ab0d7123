"""Every code a finding can carry, in one place, so that `words` can prove it has a sentence for each.

A test runs every rule over every case and fails when a rule uses a code that is not here, or when a
code here is used by no rule.
"""

from __future__ import annotations

from types import MappingProxyType

__all__ = ["CODES", "CURES"]

# rule -> its details, pass first, then cautions, then stops
CODES: MappingProxyType[str, tuple[str, ...]] = MappingProxyType(
    {
        # lift rules: need no candidate
        "purpose": ("lift", "marine", "people", "towing", "tie-down", "offshore", "other"),
        "dynamic": ("stated", "no-factor-at-sea", "marine-without-factor", "below-one"),
        "service": ("normal", "severe", "special", "unknown-service"),
        "unknowns": (
            "known",
            "weight-estimated",
            "centre-unknown",
            "centre-estimated",
            "section-assumed",
            "weight-unknown",
        ),
        "load-free": ("free-and-complete",),
        "wrong-tool": (
            "web-suits",
            "too-hot-for-web",
            "too-cold-for-web",
            "no-fibre-for-agents",
            "no-fibre-for-both",
            "nothing-strong-enough",
            "no-edge-protection-enough",
            "nothing-fits-the-room",
        ),
        # rules of a candidate
        "rated-load": (
            "part-within",
            "hitch-within",
            "part-thin-reserve",
            "hitch-thin-reserve",
            "part-over",
            "hitch-over",
        ),
        "rule-against-hang": ("rule-covers", "rule-short"),
        "other-regimes": ("choker-lower-elsewhere", "two-legs-elsewhere"),
        "table": ("adopted", "not-adopted", "thick-not-proposable"),
        "least-angle": ("steep-enough", "shallow", "below-wanted", "below-rulebook"),
        "tilt": ("level-enough", "past-wanted", "uneven-past-wanted"),
        "headroom": ("fits", "too-high"),
        "reach": ("reaches", "unreachable"),
        "slack-leg": ("all-tight", "one-slack", "too-many-slack"),
        "stability": ("stable", "small-rise", "small-push", "rolls-freely", "capsizes", "not-shown-stable"),
        "pick-rating": (
            "within",
            "upright",
            "rating-unknown",
            "lean-at-unrated",
            "leans",
            "over",
            "leans-too-far",
        ),
        "eye-fit": (
            "fits-hook",
            "fits-pin",
            "hook-unknown",
            "pin-unknown",
            "fitting-opening",
            "wide-for-others-hook",
            "wide-for-others-pin",
            "too-short-for-hook",
            "too-short-for-pin",
            "too-short-for-width",
        ),
        "eye-crowding": ("room-enough", "crowded", "width-unknown"),
        "hook-angle": ("narrow-enough", "wide", "too-wide"),
        "hook-load": ("on-the-hook",),
        "hook-capacity": ("within", "capacity-unknown", "over"),
        "side-pull": ("upright", "pulled-sideways"),
        "edge": (
            "blunt-and-protected",
            "cut-sleeve-rated",
            "former-rounds-it",
            "blunt-unprotected",
            "radius-unknown",
            "not-cut-proof",
            "shackle-required",
            "sharp",
            "very-sharp",
            "unknown-unprotected",
        ),
        "bend": ("round-enough", "cut-sleeve-rated", "former-rounds-it", "tight", "very-tight"),
        "long-load": ("short-or-two-slings", "one-sling"),
        "temperature": (
            "within",
            "unknown",
            "surface-assumed",
            "below-freezing",
            "too-hot",
            "too-cold",
        ),
        "wet": ("wet-within", "wet-part-over", "wet-hitch-over"),
        "chemicals": ("unharmed", "with-care", "attacked", "agent-unknown", "fitting-attacked"),
        "choke": (
            "stated-full",
            "do-not-beat-down",
            "stated-reduced",
            "unstable-wide",
            "envelope-used",
            "clearance-unknown",
            "unknown-angle",
            "factor-too-high",
            "on-eye",
            "form-cannot",
        ),
        "slip": (
            "holds",
            "needs-grip",
            "pulled-flat",
            "slips",
            "surface-too-slippery",
            "too-flat-along-load",
            "not-figured",
        ),
        "loose-bundle": (
            "gripped-all-round",
            "single-wrap",
            "one-choker",
            "double-wrap-basket",
            "plain-basket",
            "not-gripped",
        ),
        "form-for-use": ("suits", "flat-eye-choked", "splice-off-hook-and-load"),
        "mixed": (
            "all-alike",
            "marked-bridle",
            "mixed-slings",
            "unequal-unmarked",
            "below-tolerance",
        ),
        "swap": ("any-order-holds", "tilts-when-swapped", "overloads-when-swapped", "swaps-not-solved"),
        "beam": (
            "load-within",
            "top-angle-within",
            "no-rating",
            "over",
            "no-least-top-angle",
            "top-legs-too-flat",
        ),
        "squeeze": ("hardly-any", "squeezes"),
        "buildable": (
            "built-by",
            "too-short",
            "no-loft",
            "named-too-short",
            "named-not-built",
            "named-not-rated",
            "named-not-used",
        ),
    }
)

# what would cure a caution or a stop
CURES: tuple[str, ...] = (
    "adopt-table",  # have the shop's qualified person adopt a rated-load table
    "another-arrangement",
    "another-fibre",
    "another-form",
    "ask-agent",  # find out what the agent is; ask the maker with concentration, temperature, time
    "ask-beam",  # beam's rating or least top angle from its maker or plate
    "ask-lug",  # the lug's rating and the angles it is made for
    "ask-hook",  # the hook's thickness, width or capacity
    "ask-pin",
    "ask-service",
    "bigger-hook",
    "cut-rated-sleeve",
    "double-wrap",
    "double-wrap-chokers",
    "fewer-plies",
    "find-centre",  # trial lift, drawings, weigh the ends
    "find-weight",  # scales, drawings, shape and density
    "fittings-apart",  # another form without metal fittings
    "free-the-load",  # freed, drained, emptied, complete; no shock
    "keep-choke-up",  # do not beat the choke down
    "keep-dry",
    "link-or-shackle",
    "longer-eye",
    "longer-slings",
    "mark-the-bridle",
    "matched-set",
    "measure-edge",
    "measure-section",
    "measure-temperature",
    "more-legs",
    "move-hooks",
    "not-for-this",  # the purpose is not lifting: this tool does not answer it
    "one-size-all-legs",
    "place-splice-clear",
    "qualified-person",
    "radius-former",
    "raise-picks",
    "same-length-legs",
    "shackle-at-lug",
    "shorter-slings",
    "slings-farther-apart",
    "spreader-beam",
    "state-choke-angle",
    "state-dynamic-factor",
    "stronger-sling",
    "tag-lines",
    "trial-lift",
    "two-slings",
    "use-chain",
    "use-round",
    "use-wire-rope",
    "wear-sleeve",
)
