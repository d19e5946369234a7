"""A reader of working formulas: assignments of plain arithmetic, and nothing else of Python."""

import ast
import math
import operator
from collections.abc import Callable, Mapping, Sequence
from typing import Any

Value = float | list[float]

_OPERATORS: Mapping[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: math.pow,
}
_FUNCTIONS: Mapping[str, Callable[..., Any]] = {
    "abs": abs,
    "acos": math.acos,
    "asin": math.asin,
    "atan": math.atan,
    "ceil": math.ceil,
    "cos": math.cos,
    "exp": math.exp,
    "floor": math.floor,
    "log": math.log,
    "max": max,
    "min": min,
    "round": round,
    "sin": math.sin,
    "sqrt": math.sqrt,
    "sum": sum,
    "tan": math.tan,
}


class NotAFormula(ValueError):
    """What is written is not arithmetic on the numbers that were put in."""


def evaluate(formula: str, numbers: Mapping[str, float | Sequence[float]]) -> float:
    """The value of the last of the assignments in `formula`, `; ` between them.

    Lists are worked on item by item. Raises NotAFormula where something else than arithmetic is written, or
    where a name stands neither in `numbers` nor on the left before.
    """
    names: dict[str, Value] = {
        name: list(number) if isinstance(number, Sequence) else float(number)
        for name, number in numbers.items()
    }
    last: Value = math.nan
    for statement in formula.split(";"):
        try:
            tree = ast.parse(statement.strip()).body
        except SyntaxError as error:
            raise NotAFormula(f"{statement.strip()!r} is no assignment") from error
        if len(tree) != 1 or not isinstance(tree[0], ast.Assign) or len(tree[0].targets) != 1:
            raise NotAFormula(f"{statement.strip()!r} is no assignment")
        target = tree[0].targets[0]
        if not isinstance(target, ast.Name):
            raise NotAFormula(f"{ast.unparse(target)} is no name")
        last = names[target.id] = _value(tree[0].value, names)
    if isinstance(last, list):
        raise NotAFormula(f"{formula!r} gives a list")
    return last


def names_in(formula: str) -> set[str]:
    """Every name that a formula reads."""
    tree = ast.parse("\n".join(part.strip() for part in formula.split(";")))
    named = (node for node in ast.walk(tree) if isinstance(node, ast.Name))
    return {node.id for node in named if isinstance(node.ctx, ast.Load)}


def _value(node: ast.expr, names: Mapping[str, Value]) -> Value:
    match node:
        case ast.Constant(value=int() | float() as number) if not isinstance(number, bool):
            return float(number)
        case ast.Name(id="pi") if "pi" not in names:
            return math.pi
        case ast.Name(id=name) if name in names:
            return names[name]
        case ast.UnaryOp(op=ast.USub() | ast.UAdd() as sign, operand=operand):
            factor = -1.0 if isinstance(sign, ast.USub) else 1.0
            return _by_item(operator.mul, factor, _value(operand, names))
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
            return _by_item(_OPERATORS[type(op)], _value(left, names), _value(right, names))
        case ast.Call(func=ast.Name(id=name), args=arguments, keywords=[]) if name in _FUNCTIONS:
            try:
                return float(_FUNCTIONS[name](*(_value(argument, names) for argument in arguments)))
            except TypeError as error:
                raise NotAFormula(f"{ast.unparse(node)} is called with what it cannot take") from error
    raise NotAFormula(f"{ast.unparse(node)} is neither arithmetic nor one of the numbers {', '.join(names)}")


def _by_item(function: Callable[[float, float], float], left: Value, right: Value) -> Value:
    if isinstance(left, list) and isinstance(right, list):
        return [function(one, other) for one, other in zip(left, right, strict=True)]
    if isinstance(left, list):
        return [function(one, _plain(right)) for one in left]
    if isinstance(right, list):
        return [function(left, other) for other in right]
    return function(left, right)


def _plain(value: Value) -> float:
    assert not isinstance(value, list)
    return value
