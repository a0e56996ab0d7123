"""Small faults for Python source: each mutant is one change to one node of the tree.

A line that ends in `# mutate: same, <why>` is left alone: whoever writes it claims that no change of it can
be seen. Docstrings, annotations, decorators, `__all__` and texts for people are never changed; texts that are
codes (`below-least-angle`, `months_at_most`) are.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

COMPARES: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.Pow: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
TWINS = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}
CODE = re.compile(r"[a-z][a-z0-9]*([-_][a-z0-9]+)*")
SAME = "# mutate: same"
Change = Callable[[ast.AST], ast.AST | None]


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: the node's place in the walk, which of its changes, and what it reads like."""

    node: int
    change: int
    line: int
    text: str

    @property
    def key(self) -> str:
        """Name of the change within its file."""
        return f"{self.node}.{self.change}"


def find_mutants(source: str) -> list[Mutant]:
    """Find every mutant of a source text."""
    lines = source.splitlines()
    found = []
    for index, node in enumerate(_walk(ast.parse(source))):
        line = getattr(node, "lineno", 0)
        if line and SAME in lines[line - 1]:
            continue
        for number, (text, _) in enumerate(_changes(node)):
            found.append(Mutant(index, number, line, f"{_short(node)}  ->  {text}"))
    return found


def apply_mutant(source: str, mutant: Mutant) -> ast.Module:
    """Return the tree with the one change made."""
    tree = ast.parse(source)
    node = list(_walk(tree))[mutant.node]
    changed = _changes(node)[mutant.change][1](node)
    if changed is not None and changed is not node:
        _Replace(node, changed).visit(tree)
    return ast.fix_missing_locations(tree)


class _Replace(ast.NodeTransformer):
    """Put one node in the place of another."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self.old, self.new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return ast.copy_location(self.new, node) if node is self.old else super().generic_visit(node)


def _walk(node: ast.AST) -> Iterator[ast.AST]:
    """Walk the nodes that may be changed, in a fixed order."""
    yield node
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "decorator_list", "type_comment"):
            continue
        children = value if isinstance(value, list) else [value]
        for position, child in enumerate(children):
            if isinstance(child, ast.AST) and not _is_left_alone(node, name, position, child):
                yield from _walk(child)


def _is_left_alone(parent: ast.AST, name: str, position: int, child: ast.AST) -> bool:
    """Docstrings, imports, `__all__`, class keywords and slices of types."""
    if isinstance(child, ast.Import | ast.ImportFrom):
        return True
    if isinstance(child, ast.Assign) and any(
        isinstance(target, ast.Name) and target.id == "__all__" for target in child.targets
    ):
        return True
    has_docstring = isinstance(parent, ast.Module | ast.ClassDef | ast.FunctionDef)
    is_text = isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant)
    return has_docstring and name == "body" and position == 0 and is_text


def _changes(node: ast.AST) -> list[tuple[str, Change]]:
    """Every change of a node: how it reads, and what makes it."""
    maker = _MAKERS.get(type(node))
    return maker(node) if maker else []


def _of_compare(node: ast.Compare) -> list[tuple[str, Change]]:
    if len(node.ops) > 1:
        return [(f"part {k} {new.__name__}", _set_op(k, new)) for k, op in enumerate(node.ops)
                for new in COMPARES[type(op)]]  # fmt: skip
    return [(new.__name__, _set_op(0, new)) for new in COMPARES[type(node.ops[0])]]


def _set_op(index: int, new: type[ast.cmpop]) -> Change:
    def change(node: ast.AST) -> None:
        assert isinstance(node, ast.Compare)
        node.ops[index] = new()

    return change


def _of_operator(node: ast.BinOp | ast.AugAssign) -> list[tuple[str, Change]]:
    new = OPERATORS.get(type(node.op))
    # text put together is for people, and a union of types is no arithmetic
    if new is None or any(isinstance(n, ast.JoinedStr) for n in ast.walk(node)):
        return []

    def change(node: ast.AST) -> None:
        assert isinstance(node, ast.BinOp | ast.AugAssign)
        node.op = new()

    return [(new.__name__, change)]


def _of_bool(node: ast.BoolOp) -> list[tuple[str, Change]]:
    def swap(node: ast.AST) -> None:
        assert isinstance(node, ast.BoolOp)
        node.op = ast.And() if isinstance(node.op, ast.Or) else ast.Or()

    return [("or" if isinstance(node.op, ast.And) else "and", swap)]


def _of_unary(node: ast.UnaryOp) -> list[tuple[str, Change]]:
    return [("without its sign or not", lambda n: n.operand)] if not isinstance(node.op, ast.UAdd) else []  # type: ignore[attr-defined]


def _of_constant(node: ast.Constant) -> list[tuple[str, Change]]:
    value = node.value
    new: object
    if isinstance(value, bool):
        new = not value
    elif isinstance(value, int):
        new = value + 1
    elif isinstance(value, float):
        new = value * 1.5 + 0.25
    elif isinstance(value, str) and CODE.fullmatch(value):
        new = value + "x"
    else:
        return []
    return [(repr(new), lambda n: ast.Constant(new))]


def _of_return(node: ast.Return) -> list[tuple[str, Change]]:
    if node.value is None or (isinstance(node.value, ast.Constant) and node.value.value is None):
        return []
    return [("return None", lambda n: ast.Return(ast.Constant(None)))]


def _of_if(node: ast.If | ast.IfExp | ast.While) -> list[tuple[str, Change]]:
    if isinstance(node.test, ast.Compare) and len(node.test.ops) == 1:
        return []  # its comparison is turned already

    def negate(node: ast.AST) -> None:
        assert isinstance(node, ast.If | ast.IfExp | ast.While)
        node.test = ast.UnaryOp(ast.Not(), node.test)

    return [("if not", negate)]


def _of_comprehension(node: ast.comprehension) -> list[tuple[str, Change]]:
    def drop(node: ast.AST) -> None:
        assert isinstance(node, ast.comprehension)
        node.ifs = []

    return [("without its if", drop)] if node.ifs else []


def _of_call(node: ast.Call) -> list[tuple[str, Change]]:
    name = node.func.id if isinstance(node.func, ast.Name) else None
    if name == "abs":
        return [("without abs", lambda n: n.args[0])]  # type: ignore[attr-defined]
    if name not in TWINS:
        return []

    def change(node: ast.AST) -> None:
        assert isinstance(node, ast.Call)
        node.func = ast.copy_location(ast.Name(TWINS[name], ast.Load()), node.func)

    # the twin of floor is not always imported
    return [] if name in ("floor", "ceil") else [(TWINS[name], change)]


def _of_statement(node: ast.Expr | ast.Raise | ast.AugAssign) -> list[tuple[str, Change]]:
    if isinstance(node, ast.Expr) and not isinstance(node.value, ast.Call):
        return []
    return [("nothing", lambda n: ast.Pass())]


_MAKERS: dict[type[ast.AST], Callable[..., list[tuple[str, Change]]]] = {
    ast.Compare: _of_compare,
    ast.BinOp: _of_operator,
    ast.AugAssign: lambda node: _of_operator(node) + _of_statement(node),
    ast.BoolOp: _of_bool,
    ast.UnaryOp: _of_unary,
    ast.Constant: _of_constant,
    ast.Return: _of_return,
    ast.If: _of_if,
    ast.IfExp: _of_if,
    ast.While: _of_if,
    ast.comprehension: _of_comprehension,
    ast.Call: _of_call,
    ast.Expr: _of_statement,
    ast.Raise: _of_statement,
}


def _short(node: ast.AST) -> str:
    text = " ".join(ast.unparse(node).split())
    return text if len(text) <= 60 else text[:57] + "..."
