"""What a shop can build, has on the shelf and knows of its webbing."""

from slingwright.shop.model import (
    Capacity,
    Cutting,
    EyeRow,
    Freight,
    Loft,
    Papers,
    Practice,
    Protection,
    Roll,
    Shop,
    StockSling,
)
from slingwright.shop.parse import read_shop
from slingwright.shop.sewing import Fitting, FittingKind, Guard, Sewing
from slingwright.shop.space import (
    Refusal,
    buildable,
    buildable_spec,
    end_fittings,
    grid_length_m,
    grid_steps,
    least_length_m,
    length_um,
    shop_widths_m,
    spec_for,
)
from slingwright.shop.tables import rolls_schema, shop_schema, stock_schema

__all__ = [
    "Capacity",
    "Cutting",
    "EyeRow",
    "Fitting",
    "FittingKind",
    "Freight",
    "Guard",
    "Loft",
    "Papers",
    "Practice",
    "Protection",
    "Refusal",
    "Roll",
    "Sewing",
    "Shop",
    "StockSling",
    "buildable",
    "buildable_spec",
    "end_fittings",
    "grid_length_m",
    "grid_steps",
    "least_length_m",
    "length_um",
    "read_shop",
    "rolls_schema",
    "shop_schema",
    "shop_widths_m",
    "spec_for",
    "stock_schema",
]
