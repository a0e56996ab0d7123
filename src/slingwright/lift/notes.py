"""The codes of everything assumed while a lift is read; `words` has a sentence for each."""

from __future__ import annotations

from slingwright.lift.model import KnownBy

__all__ = ["NOTES"]

_COMPUTED_FROM = ("shape", "parts", "mesh")

NOTES: frozenset[str] = frozenset(
    (
        "weight-known-by-not-stated",
        "centre-of-gravity-known-by-not-stated",
        *(f"weight-tolerance-of-{known}" for known in KnownBy),
        *(f"centre-tolerance-of-{known}" for known in KnownBy),
        *(f"weight-computed-from-{by}" for by in _COMPUTED_FROM),
        *(f"centre-computed-from-{by}" for by in _COMPUTED_FROM),
        "weight-spread-as-limit",
        "centre-spread-as-limit",
        "length-spread-as-limit",
        "centre-unknown",
        "centre-not-stated",
        "edge-not-stated",
        "hull-section-assumed",
        "taken-empty",
        "even-wall-assumed",
        "mesh-taken-even",
        "mesh-up-is-y",
        "lug-angle-not-stated",
        "site-temperature-not-stated",
        "only-the-sling-named",
    )
)
