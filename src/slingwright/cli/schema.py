"""`slingwright schema`: the JSON Schema of a file that is read or a document that is printed."""

from __future__ import annotations

from slingwright.cli.options import ANSWER, Answering
from slingwright.cli.show import print_document, print_text

__all__ = ["schema"]


def schema(name: str | None = None, *, answering: Answering = ANSWER) -> int:
    """Print the JSON Schema of a file that is read or a document that is printed.

    Parameters
    ----------
    name
        Such as lift, hang-problem or rating; left out: all names are listed.
    """
    from slingwright.usecases.made_by import head
    from slingwright.usecases.print_schema import print_schema, schema_names

    if name is not None:
        print_document(print_schema(name))
    elif answering.json:
        print_document({**head("schemas/1"), "names": list(schema_names())})
    else:
        print_text("\n".join(schema_names()))
    return 0
