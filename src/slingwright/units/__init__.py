"""Units at the border: people's words in, SI floats inside, people's words out."""

from slingwright.units.parse import (
    parse_angle_deg,
    parse_density_kg_m3,
    parse_length_m,
    parse_lengths,
    parse_ratio,
    parse_temperature_k,
    parse_weight_n,
)
from slingwright.units.show import (
    RatedStyle,
    Rounding,
    Units,
    show_angle,
    show_density,
    show_force,
    show_length,
    show_rated_load,
    show_ratio,
    show_temperature,
    show_weight,
)

__all__ = [
    "RatedStyle",
    "Rounding",
    "Units",
    "parse_angle_deg",
    "parse_density_kg_m3",
    "parse_length_m",
    "parse_lengths",
    "parse_ratio",
    "parse_temperature_k",
    "parse_weight_n",
    "show_angle",
    "show_density",
    "show_force",
    "show_length",
    "show_rated_load",
    "show_ratio",
    "show_temperature",
    "show_weight",
]
