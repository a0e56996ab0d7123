"""The lift: load, hook, site, wishes; what is unknown stays a range.

Imports nothing above it. numpy and trimesh are imported only when a mesh is read.
"""

from slingwright.lift.mesh import MeshReader, folder_reader
from slingwright.lift.model import Lift
from slingwright.lift.parse import read_lift, read_wanted_sling
from slingwright.lift.schema import lift_schema
from slingwright.lift.text import document_from_text, lift_from_text
from slingwright.lift.upgrade import upgrade_lift

__all__ = [
    "Lift",
    "MeshReader",
    "document_from_text",
    "folder_reader",
    "lift_from_text",
    "lift_schema",
    "read_lift",
    "read_wanted_sling",
    "upgrade_lift",
]
