"""What a parser is to see of a mesh written as text (OBJ, STL): its points and faces, counted, and no more.

Text is small beside what it becomes: a line of eight bytes is a face, two words are a part with tables of its
own. So lines are counted while they are bytes, and every line that says nothing of the shape is left out.
"""

from __future__ import annotations

import re

from slingwright.errors import fail
from slingwright.lift.assumptions import assumptions

__all__ = ["check_counts", "shape_of_obj", "shape_of_stl"]

_FIELD = "load.mesh.file"
_NO_SHAPE = re.compile(rb"(?:^(?!(?:v|f|usemtl)[ \t]).*\n)+", re.MULTILINE)  # of an OBJ
_BEYOND_POINTS = re.compile(rb"/[^ \t\n]*")  # a corner's texture and normal
_MATERIAL = re.compile(rb"^usemtl.*", re.MULTILINE)
_FACE = re.compile(rb"^f[ \t].*", re.MULTILINE)
_NO_CORNER = re.compile(rb"(?:^(?![ \t]*(?:vertex|solid|endsolid)\b).*\n)+", re.MULTILINE)  # of an STL
_NAMED = re.compile(rb"^[ \t]*((?:end)?solid)\b.*$", re.MULTILINE)
_LONG_LINE = 4096  # bytes; its words are counted by what stands between them, without making them


def check_counts(*, faces: int, points: int, parts: int = 1) -> None:
    """Refuse what would take long or much room to read.

    Raises
    ------
    InputFault
        More faces, points or parts than are read.
    """
    limits = assumptions().mesh
    if faces > limits.most_faces:
        raise fail(_FIELD, f"has {faces} faces", f"at most {limits.most_faces}; simplify it")
    if points > limits.most_points:
        raise fail(_FIELD, f"has {points} points", f"at most {limits.most_points}; simplify it")
    if parts > limits.most_parts:
        raise fail(_FIELD, f"has {parts} parts", f"at most {limits.most_parts}; join them")


def shape_of_obj(data: bytes) -> bytes:
    """Points, faces and where a material changes, of an OBJ file.

    Raises
    ------
    InputFault
        Too many of them, or no text.
    """
    text = b"\n" + data.replace(b"\r\n", b"\n").replace(b"\\\n", b"") + b"\n"
    points, faces = (text.count(b"\n%b " % key) + text.count(b"\n%b\t" % key) for key in (b"v", b"f"))
    check_counts(faces=faces, points=points)
    text = _BEYOND_POINTS.sub(b"", _NO_SHAPE.sub(b"", text))
    # a face of many corners becomes as many triangles less two
    triangles = sum(max(_words(face[0]) - 3, 1) for face in _FACE.finditer(text))
    check_counts(faces=triangles, points=points, parts=text.count(b"\nusemtl"))
    return _plain(_MATERIAL.sub(lambda name: _spelt(name[0]), text), "OBJ")


def shape_of_stl(data: bytes) -> bytes:
    """Corners and parts of a text STL file.

    Raises
    ------
    InputFault
        Too many of them, not three for each face, cut short, or no text.
    """
    text = data.lower().replace(b"\r\n", b"\n") + b"\n"
    facets, parts = text.count(b"endfacet"), text.count(b"endsolid")
    check_counts(faces=facets, points=0, parts=parts)
    text = _NAMED.sub(rb"\1", _NO_CORNER.sub(b"", text))  # a name may hold any word
    if text.count(b"vertex") != 3 * facets or not parts:
        raise fail(_FIELD, "does not hold as many faces as it says", "it may be cut short")
    return _plain(text, "STL")


def _words(line: bytes) -> int:
    if len(line) < _LONG_LINE:
        return len(line.split())
    return line.count(b" ") + line.count(b"\t") + 1


def _spelt(name: bytes) -> bytes:
    return name.decode("latin-1").encode("ascii", "backslashreplace")


def _plain(text: bytes, kind: str) -> bytes:
    if not text.isascii():  # figures and key words are; else the parser would guess an encoding
        raise fail(_FIELD, f"cannot be read as {kind}")
    return text
