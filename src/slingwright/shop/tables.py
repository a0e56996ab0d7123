"""What a shop's three files may hold: shop, stock and rolls, each key once (reader and schema share it)."""

from __future__ import annotations

from enum import StrEnum

from slingwright.shop.fields import Field, Table, schema_document
from slingwright.shop.kinds import (
    Choice,
    Const,
    Decimal,
    Length,
    ListOf,
    Ratio,
    Schema,
    Switch,
    Text,
    Weight,
    Whole,
)
from slingwright.shop.model import Protection
from slingwright.shop.sewing import FittingKind
from slingwright.sling import Fibre, Form

__all__ = ["ROLLS", "SHOP", "STOCK", "rolls_schema", "shop_schema", "stock_schema"]


class RulebookId(StrEnum):
    """The regime a stock sling is made and tagged to: one sling, one rulebook."""

    US = "us"
    EN = "en"


_KNOWN = Field(
    "known", Text(longest=600), "how these values are known: shop's own, from memory, common practice"
)
_FIBRE = Field("fibre", Choice(Fibre), "webbing material")
_CLASS = Field("class", Whole(low=1, high=99), "webbing class")
_WIDTH = Field("width", Length(), "webbing width")
_PLIES = ListOf(kind=Whole(low=1, high=8), least=1, most=8, distinct=True)

_PRACTICE = Table((
    _KNOWN,
    Field("length_step", Length(), "made lengths are whole multiples of this"),
    Field("placement_step", Length(), "grid of places along a load"),
    Field("height_step", Length(), "grid of hook heights for individually made legs"),
    Field("bridle_step", Length(), "finer step of individually made legs; length_step if left out", None),
    Field("tolerance", Ratio(), "made length, relative part, stock or unknown"),
    Field("tolerance_plus", Length(zero=True), "made length, fixed part"),
    Field("matched_tolerance", Length(zero=True), "made length within a matched set"),
    Field("stiffness_spread", Ratio(), "stiffness from leg to leg of one lot, standard deviation"),
    Field("label", Length(), "clear body a label patch needs"),
    Field("min_body_widths", Decimal(high=100.0), "least clear body, in webbing widths"),
))  # fmt: skip

_MINOR = Whole(high=100_000_000)
_FREIGHT = Table((
    Field("region", Text(longest=40), "where orders go"),
    Field("base", _MINOR, "per order [minor units]"),
    Field("per_kg", _MINOR, "per kilogram begun [minor units]"),
    Field("days", Whole(high=60), "working days on the way"),
))  # fmt: skip
_CAPACITY = Table((
    Field("hours_a_day", Whole(high=1000), "regular sewing hours of the whole loft"),
    Field("overtime_a_day", Whole(high=1000), "overtime hours it can add"),
    Field("labour_per_hour", _MINOR, "cost of a regular hour [minor units]"),
    Field("overtime_per_hour", _MINOR, "extra cost of an overtime hour [minor units]"),
    Field("fetch_roll", _MINOR, "cost of bringing in a roll of webbing [minor units]"),
    Field("freight", ListOf(kind=_FREIGHT, least=1, most=200), "where it sends, and for how much"),
))  # fmt: skip

_LOFT = Table((
    Field("id", Text(longest=40), "short name used in stock and rolls"),
    Field("name", Text(), "the plant's name"),
    _KNOWN,
    Field("forms", ListOf(kind=Choice(Form), least=1, most=20, distinct=True), "sling forms it sews"),
    Field("fibres", ListOf(kind=Choice(Fibre), least=1, most=10, distinct=True), "fibres it sews"),
    Field("classes", ListOf(kind=Whole(low=1, high=99), least=1, most=10, distinct=True), "webbing classes"),
    Field("max_width", Length(), "widest webbing its machines take"),
    Field("max_plies", Whole(low=1, high=8), "thickest body its machines sew"),
    Field("min_length", Length(), "shortest sling"),
    Field("max_length", Length(), "longest sling"),
    Field("days", Whole(high=365), "working days until an order is ready"),
    Field("qualified", ListOf(kind=Text()), "sewn patterns qualified here by break tests", ()),
    Field("capacity", _CAPACITY, "hours and costs for routing; left out: no orders are routed here", None),
))  # fmt: skip

_WEBBING = Table((
    _FIBRE,
    _CLASS,
    _KNOWN,
    Field("widths", ListOf(kind=Length(), least=1, most=40, distinct=True), "widths kept"),
    Field("thickness", Length(), "one layer"),
    Field("mass_kg_m2", Decimal(high=100.0), "mass per area [kg/m²]"),
    Field("stretch", ListOf(kind=Ratio(), least=2, most=2), "stiff end and soft end"),
    Field("stretch_at_factor", Decimal(low=1.0, high=20.0), "design factor of that rated load"),
    Field("roll", Length(), "a full roll"),
))  # fmt: skip

_EYE = Table((
    _WIDTH,
    Field("plies", ListOf(kind=Whole(low=1, high=8), least=2, most=2), "lowest and highest ply count"),
    Field("eye", Length(), "inside eye length"),
    Field("lap", Length(), "stitched lap"),
    Field("taper", Length(), "eye folded to this width at its crown", None),
    Field("pad", Length(zero=True), "wear pad inside the eye", 0.0),
))  # fmt: skip

_FITTING = Table((
    Field("kind", Choice(FittingKind), "triangle or choker-triangle"),
    _WIDTH,
    Field("reach", Length(), "bearing point to the inside of the bar"),
    Field("bar", Length(), "diameter of the bar"),
    Field("mass_kg", Decimal(high=1000.0), "mass [kg]"),
    Field("rated", Weight(), "the fitting's own vertical rated load"),
    Field("material", Text(longest=40), "what it is made of"),
))  # fmt: skip

_SECONDS = Whole(high=86_400)
_SEWING = Table((
    _KNOWN,
    Field("throat", Length(), "clear webbing between a fitting's bar and the lap"),
    Field("twist", Decimal(high=10.0), "taken up on each side of a twisted eye, share of the width"),
    Field("end_trim", Length(zero=True), "lost at each sealed end"),
    Field("rows_per_m", Decimal(high=10_000.0), "seam rows across a lap per metre of width"),
    Field("least_rows", Whole(low=1, high=100), "least seam rows across a lap"),
    Field("body_rows", Whole(high=100), "seam rows that hold the plies of a body"),
    Field("thread_per_seam", Decimal(high=100.0), "metres of thread in a metre of seam"),
    Field("thread_kg_per_km", Decimal(high=100.0), "thread mass [kg/km]"),
    Field("label_kg", Decimal(high=10.0), "label patch mass [kg]"),
    Field("set_up_s", _SECONDS, "per sling"),
    Field("cut_s", _SECONDS, "per flat piece"),
    Field("end_s", _SECONDS, "per sewn lap"),
    Field("twist_s", _SECONDS, "per twisted eye"),
    Field("seam_s_per_m", _SECONDS, "per metre of seam"),
    Field("fitting_s", _SECONDS, "per fitting"),
    Field("label_s", _SECONDS, "per label"),
    Field("inspect_s", _SECONDS, "per sling"),
))  # fmt: skip

_GUARD = Table((
    Field("kind", Choice(Protection), "wear-sleeve, cut-sleeve or radius-former"),
    _KNOWN,
    Field("pieces_per_sling", Whole(low=1, high=50), "sold with a sling unless the lift says how many edges"),
    Field("length", Length(), "of one piece"),
    Field("mass_kg_m2", Decimal(high=1000.0), "mass per piece length and webbing width [kg/m²]"),
    Field("max_width", Length(), "widest webbing it takes"),
    Field("tested_radius", Length(), "cut sleeve: least edge radius its maker tested it for", None),
    Field("gives_radius", Length(), "radius former: the radius it gives", None),
))  # fmt: skip

_PAPERS = Table((
    _KNOWN,
    Field("address", Text(), "the shop's address"),
    Field("quote_days", Whole(low=1, high=365), "days for which a quote holds"),
    Field("link_host", Text(longest=100), "host to which a tag's code leads"),
    Field("company_prefix", Text(longest=12), "GS1 company prefix of the slings' asset identifiers, digits"),
    Field("thread", Text(), "sewing thread, its fibre apart: that is always the webbing's"),
    Field("contact", Text(longest=200), "e-mail address to which the desk's page hands a lift", None),
))  # fmt: skip

_MILLIMETRES = Whole(high=1_000_000)
_CUTTING = Table((
    _KNOWN,
    Field("kerf_mm", _MILLIMETRES, "lost at each cut"),
    Field("head_trim_mm", _MILLIMETRES, "trimmed once from a mounted roll"),
    Field("remnant_min_mm", _MILLIMETRES, "least leftover that is kept"),
    Field("discount_mm", _MILLIMETRES, "what a remnant of no length would be worth less than new webbing"),
    Field("mount_cost_mm", _MILLIMETRES, "work of mounting a roll, in new webbing"),
))  # fmt: skip

SHOP = Table((
    Field("schema", Const("slingwright/shop/1"), "name and version of this file's form"),
    Field("name", Text(), "the shop's name"),
    Field("plies", _PLIES, "ply counts the shop builds"),
    Field("practice", _PRACTICE, "steps and tolerances"),
    Field("loft", ListOf(kind=_LOFT, least=1, most=50), "the plants"),
    Field("webbing", ListOf(kind=_WEBBING, least=1, most=200), "webbing kept"),
    Field("eyes", Table((_KNOWN, Field("rows", ListOf(kind=_EYE, least=1, most=400), "one row a width"))),
          "eye and lap practice"),
    Field("sewing", _SEWING, "allowances and times"),
    Field("fittings", Table((_KNOWN, Field("rows", ListOf(kind=_FITTING, most=400), "one row a fitting"))),
          "end fittings", None),
    Field("protection", ListOf(kind=_GUARD, most=3), "protections sold", ()),
    Field("papers", _PAPERS, "what quotes, tags and certificates say of the shop", None),
    Field("cutting", _CUTTING, "how webbing is cut, for cut jobs made from orders", None),
))  # fmt: skip

_STOCK_SLING = Table((
    Field("id", Text(longest=60), "shelf mark"),
    Field("form", Choice(Form), "sling form"),
    _FIBRE,
    _CLASS,
    Field("plies", Whole(low=1, high=8), "plies"),
    _WIDTH,
    Field("length", Length(), "bearing to bearing"),
    Field("eye", Length(), "inside eye length; left out: the shop's own", None),
    Field("loft", Text(longest=40), "where it lies"),
    Field("count", Whole(low=1, high=10_000), "how many equal ones", 1),
    Field("matched", Switch(), "whether they are a matched set", False),
    Field("rulebook", Choice(RulebookId), "made and tagged to"),
    Field("days", Whole(high=365), "working days until it is ready", 0),
))  # fmt: skip

STOCK = Table((
    Field("schema", Const("slingwright/stock/1"), "name and version of this file's form"),
    _KNOWN,
    Field("sling", ListOf(kind=_STOCK_SLING), "made slings on the shelf"),
))  # fmt: skip

_ROLL = Table((
    Field("id", Text(longest=60), "roll mark"),
    _FIBRE,
    _CLASS,
    _WIDTH,
    Field("length", Length(high_m=10_000.0), "what is left on it"),
    Field("lot", Text(longest=60), "webbing lot"),
    Field("loft", Text(longest=40), "where it lies"),
    Field("certificate", Text(longest=120), "lot certificate on file; left out: none", None),
))  # fmt: skip

ROLLS = Table((
    Field("schema", Const("slingwright/rolls/1"), "name and version of this file's form"),
    _KNOWN,
    Field("roll", ListOf(kind=_ROLL), "rolls and remnants on the shelf"),
))  # fmt: skip


def shop_schema() -> Schema:
    """The JSON Schema of `shop.toml`."""
    return schema_document(SHOP, "A shop: lofts, webbing, practice")


def stock_schema() -> Schema:
    """The JSON Schema of `stock.toml`."""
    return schema_document(STOCK, "Made slings on the shelf")


def rolls_schema() -> Schema:
    """The JSON Schema of `rolls.toml`."""
    return schema_document(ROLLS, "Webbing on the shelf")
