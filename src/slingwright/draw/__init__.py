"""Pictures of an offer as SVG: the lift as it will hang, and how near each part comes to its limit."""

from slingwright.draw.bars import draw_bars
from slingwright.draw.explain import EXPLAINED, explain_alt, explain_drawing, explain_text
from slingwright.draw.grips import Grip
from slingwright.draw.scene import pose_sentence, scene_document
from slingwright.draw.sheet import SHEET_WIDTH_MM, draw_offer, drawing_alt
from slingwright.draw.sketch import Sketch, draw_sketch

__all__ = [
    "EXPLAINED",
    "SHEET_WIDTH_MM",
    "Grip",
    "Sketch",
    "draw_bars",
    "draw_offer",
    "draw_sketch",
    "drawing_alt",
    "explain_alt",
    "explain_drawing",
    "explain_text",
    "pose_sentence",
    "scene_document",
]
