"""Small changes to a module, one at a time, for asking whether a test notices each.

`mutants_of(path, root)` reads a module and gives all that can be made of it, in the order of the text: an operator, a
comparison, a number, a sign, a condition, a term or an argument changed. Annotations, docstrings, texts for people and
what an error says are left alone. The text of a formula is changed as arithmetic is.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

SWAPS: Final[dict[type[ast.AST], tuple[type[ast.AST], ...]]] = {
    ast.Add: (ast.Sub,),
    ast.Sub: (ast.Add,),
    ast.Mult: (ast.Div,),
    ast.Div: (ast.Mult,),
    ast.FloorDiv: (ast.Div,),
    ast.Mod: (ast.Mult,),
    ast.Pow: (ast.Mult,),
    ast.BitAnd: (ast.BitOr,),
    ast.BitOr: (ast.BitAnd,),
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
    ast.And: (ast.Or,),
    ast.Or: (ast.And,),
}
_PAIRS: Final = (
    ("max", "min"),
    ("maximum", "minimum"),
    ("fmax", "fmin"),
    ("nanmax", "nanmin"),
    ("argmax", "argmin"),
    ("nanargmax", "nanargmin"),
    ("all", "any"),
    ("sin", "cos"),
    ("floor", "ceil"),
)
OTHER_NAME: Final = {one: other for pair in _PAIRS for one, other in (pair, pair[::-1])}
BARE: Final = {"sqrt", "abs", "exp", "log", "radians", "degrees", "hypot"}
"""Functions of one number that are also left out."""
TEXTS: Final = {
    "help",
    "label",
    "source",
    "title",
    "meaning",
    "strict",
    "unit",
    "default_factory",
    "repr",
    "dtype",
}
"""Keywords that say something to a person, or nothing that a number rests on."""
LIFTED: Final = 1.03
"""By what a number that is no whole one is changed."""


@dataclass(frozen=True)
class Mutant:
    """One change: the place by file and function, the bytes it replaces, and the line as it was and becomes."""

    file: str
    function: str
    line: int
    start: int
    end: int
    text: str
    what: str
    before: str
    after: str
    name: str = ""

    def apply(self, source: bytes) -> bytes:
        """The module's text with the change."""
        return source[: self.start] + self.text.encode() + source[self.end :]


def mutants_of(path: Path, root: Path) -> list[Mutant]:
    """All mutants of a module, in the order of its text."""
    source = path.read_bytes()
    reader = _Reader(source, str(path.relative_to(root)))
    reader.visit(ast.parse(source))
    return sorted(dict.fromkeys(reader.found), key=lambda one: (one.start, one.end, one.text))


class _Reader(ast.NodeVisitor):
    """Walks a module and collects what can be changed."""

    def __init__(self, source: bytes, file: str) -> None:
        self.source, self.file = source, file
        self.lines = source.splitlines(keepends=True)
        self.starts = [0]
        for line in self.lines:
            self.starts.append(self.starts[-1] + len(line))
        self.within: list[str] = []
        self.name = ""
        self.found: list[Mutant] = []

    def span(self, node: ast.expr | ast.stmt) -> tuple[int, int]:
        """First byte of a node and the one behind its last."""
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        first = self.starts[node.lineno - 1] + node.col_offset
        return first, self.starts[node.end_lineno - 1] + node.end_col_offset

    def put(self, start: int, end: int, text: str, what: str) -> None:
        """Keep one change, with the whole lines it touches before and after."""
        line = self.source.count(b"\n", 0, start)
        last = self.source.count(b"\n", 0, end)
        first, behind = self.starts[line], self.starts[last + 1]
        after = self.source[first:start] + text.encode() + self.source[end:behind]
        before = self.source[first:behind]
        words = [" ".join(part.decode().split()) for part in (before, after)]
        if words[0] != words[1]:
            place = ".".join(self.within)
            self.found.append(
                Mutant(self.file, place, line + 1, start, end, text, what, words[0], words[1], self.name)
            )

    def swap(self, node: ast.expr | ast.stmt, by: ast.AST | str, what: str) -> None:
        """Keep the change of a node to another, in brackets where it is no simple one."""
        text = by if isinstance(by, str) else ast.unparse(by)
        simple = isinstance(
            by, str | ast.Name | ast.Constant | ast.Call | ast.Attribute | ast.Subscript | ast.stmt
        )
        self.put(*self.span(node), text if simple else f"({text})", what)

    # what is left alone

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        self.within.append(node.name)
        for part in (*node.decorator_list, *node.args.defaults, *filter(None, node.args.kw_defaults)):
            self.visit(part)
        self._body(node.body)
        self.within.pop()

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        self.within.append(node.name)
        self._body(node.body)
        self.within.pop()

    def visit_Module(self, node: ast.Module) -> None:
        self._body(node.body)

    def _body(self, body: list[ast.stmt]) -> None:
        for statement in body:
            outside = not self.within
            if outside and isinstance(statement, ast.Assign | ast.AnnAssign):
                target = statement.target if isinstance(statement, ast.AnnAssign) else statement.targets[0]
                self.name = target.id if isinstance(target, ast.Name) else ""
            self.visit(statement)
            if outside:
                self.name = ""

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self.visit(node.value)

    def visit_Assign(self, node: ast.Assign) -> None:
        if self.name != "__all__":
            self.visit(node.value)

    def visit_Raise(self, node: ast.Raise) -> None:
        """What an error says is for people."""

    def visit_Assert(self, node: ast.Assert) -> None:
        """For the reader of types."""

    def visit_JoinedStr(self, node: ast.JoinedStr) -> None:
        """A text for people."""

    # what is changed

    def visit_If(self, node: ast.If) -> None:
        if ast.unparse(node.test) != "TYPE_CHECKING":
            self._negate(node.test)
            self.generic_visit(node)

    def visit_IfExp(self, node: ast.IfExp) -> None:
        self._negate(node.test)
        self.generic_visit(node)

    def visit_comprehension(self, node: ast.comprehension) -> None:
        for condition in node.ifs:
            self.swap(condition, "True", "condition of a selection dropped")
        self.generic_visit(node)

    def _negate(self, test: ast.expr) -> None:
        self.put(*self.span(test), f"(not ({ast.unparse(test)}))", "condition negated")

    def visit_BinOp(self, node: ast.BinOp) -> None:
        for other in SWAPS.get(type(node.op), ()):
            self.swap(node, ast.BinOp(node.left, other(), node.right), "arithmetic swapped")
        if isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.Div | ast.Pow):
            self.swap(node, node.left, "right operand dropped")
        if isinstance(node.op, ast.Add | ast.Mult):
            self.swap(node, node.right, "left operand dropped")
        self.generic_visit(node)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        other = SWAPS[type(node.op)][0]()
        self.swap(node, ast.BoolOp(other, node.values), "and, or swapped")
        for i in range(len(node.values)):
            rest = node.values[:i] + node.values[i + 1 :]
            by = rest[0] if len(rest) == 1 else ast.BoolOp(node.op, rest)
            self.swap(node, by, "part of a condition dropped")
        self.generic_visit(node)

    def visit_Compare(self, node: ast.Compare) -> None:
        for i, op in enumerate(node.ops):
            for other in SWAPS.get(type(op), ()):
                ops = [*node.ops[:i], other(), *node.ops[i + 1 :]]
                self.swap(node, ast.Compare(node.left, ops, node.comparators), "comparison changed")
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.USub | ast.Not | ast.Invert):
            self.swap(node, node.operand, "sign or not dropped")
        if not isinstance(node.operand, ast.Constant):
            self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        value = node.value
        if isinstance(value, bool):
            self.swap(node, str(not value), "yes and no swapped")
        elif isinstance(value, int):
            self.swap(node, str(value + 1), "number by 1")
        elif isinstance(value, float):
            self.swap(node, repr(value * LIFTED if value else 0.01), "number by 3 %")

    def visit_Subscript(self, node: ast.Subscript) -> None:
        match node.slice:
            case ast.Constant(value=0):
                self.swap(node.slice, "-1", "first for last")
            case ast.UnaryOp(op=ast.USub(), operand=ast.Constant(value=1)):
                self.swap(node.slice, "0", "last for first")
            case _:
                self.visit(node.slice)
        self.visit(node.value)

    def visit_AugAssign(self, node: ast.AugAssign) -> None:
        for other in SWAPS.get(type(node.op), ()):
            self.swap(node, ast.AugAssign(node.target, other(), node.value), "arithmetic swapped")
        self.visit(node.value)

    def visit_Expr(self, node: ast.Expr) -> None:
        if isinstance(node.value, ast.Call):
            self.swap(node, "pass", "statement dropped")
            self.visit(node.value)

    def visit_Call(self, node: ast.Call) -> None:
        function = node.func
        called = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
        if called in {"formula", "_formula", "Formula"} and node.args:
            self._formula(node.args[0])
            return
        if called in OTHER_NAME:
            _, end = self.span(function)
            self.put(end - len(called), end, OTHER_NAME[called], "largest and least, or the like, swapped")
        if called in BARE and len(node.args) == 1:
            self.swap(node, node.args[0], "function dropped")
        if (
            len(node.args) > 1
            and not any(_is_text(part) for part in node.args[:2])
            and called not in OTHER_NAME
        ):
            self._swap_arguments(node)
        for i, keyword in enumerate(node.keywords):
            none = isinstance(keyword.value, ast.Constant) and keyword.value.value in (None, False)
            if keyword.arg and keyword.arg not in TEXTS and not none and not _is_text(keyword.value):
                rest = [*node.keywords[:i], *node.keywords[i + 1 :]]
                self.swap(node, ast.Call(function, node.args, rest), "keyword dropped")
        for part in (*node.args, *(k.value for k in node.keywords if k.arg not in TEXTS)):
            self.visit(part)
        self.visit(function)

    def _swap_arguments(self, node: ast.Call) -> None:
        first, second = node.args[:2]
        if ast.dump(first) != ast.dump(second) and not any(
            isinstance(p, ast.Starred) for p in (first, second)
        ):
            self.swap(
                node, ast.Call(node.func, [second, first, *node.args[2:]], node.keywords), "arguments swapped"
            )

    def _formula(self, node: ast.expr) -> None:
        """The text of a formula, behind its first ' = '."""
        start, end = self.span(node)
        text = self.source[start:end].decode()
        head, equals, tail = text.partition(" = ")
        if equals:
            begin = start + len((head + equals).encode())
            for place, length, by, what in formula_changes(tail):
                first = begin + len(tail[:place].encode())
                self.put(first, first + len(tail[place : place + length].encode()), by, what)


def _is_text(node: ast.expr) -> bool:
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


_FORMULA_SIGNS: Final = {" + ": " − ", " − ": " + ", " × ": " / ", " / ": " × "}
_OPERAND: Final = re.compile(r"[^\W\d][\w{}]*(?![\w(²^{])")


def formula_changes(text: str) -> Iterator[tuple[int, int, str, str]]:
    """What can be changed in a formula's expression: where, how many letters, by what, and what that is.

    A term goes by becoming nought times itself, a factor by its nought power, so that no symbol is missed.
    """
    for sign, other in _FORMULA_SIGNS.items():
        for found in re.finditer(re.escape(sign), text):
            yield found.start(), len(sign), other, "formula: sign"
            if sign in {" + ", " − "}:
                yield found.start(), len(sign), f"{sign}0 × ", "formula: term dropped"
            elif operand := _OPERAND.match(text, found.end()):
                yield operand.start(), len(operand[0]), f"{operand[0]}^0", "formula: factor dropped"
    for mark, by in (("²", ""), ("√", "")):
        for found in re.finditer(mark, text):
            yield found.start(), 1, by, "formula: power dropped"
    for found in re.finditer(r"\b(max|min|cos|sin)\(", text):
        yield found.start(), len(found[1]), OTHER_NAME[found[1]], "formula: function swapped"
    for found in re.finditer(r"(?<![\w.^{])\d+(\.\d+)?(?![\w.}])", text):
        value = float(found[0])
        by = f"{value * LIFTED:.6g}" if value else "0.01"
        yield found.start(), len(found[0]), by, "formula: number by 3 %"
