"""Where an equation can be made wrong by 1 %: every number and every power in the source of a module."""

import ast
from collections import Counter
from pathlib import Path
from typing import NamedTuple

PHYSICS = Path(__file__).parents[2] / "libdamp" / "physics"
CHANGE = 1.01

LEFT_OUT = {
    "roots": "its numbers choose steps and the end of the search; the root is the same whatever they are",
}
"""Modules that are not mutated, and why."""

SKIPPED = {
    "chamber._LEAST": "how little is left of a side at the least: a guard",
    "chamber.SealedRun.stored.steep#2": "stands in for a zero whose logarithm is taken from the other branch",
    "chamber.SpreadRun.move.most": "how much oil a side holds at the most: a guard",
    "chamber.SpreadRun.react.small": "switch between a mean and its limit, which agree there",
    "chamber.SpreadRun.react.mean": "stands in for a one whose mean is taken from the other branch",
    "emulsion.log_mean_pressure.above": "stands in for a zero whose mean is taken from the other branch",
    "flow_table.flow_table.grid[0]": "as good as zero; what it stands for is held to 1e-5",
    "motion.FAR_M": "far enough for a stop or a rim that is not there",
    "motion.Motion._prepare.self.fade": "from where damping would ring in a step; small steps give the same",
    "motion.Motion._masses": "how much of such a step counts; small steps give the same",
    "orifice._fastest": "upper end of the bracket for an oil that thins; the root stays the same",
    "orifice.hole_velocity.c": "only bounds the root from below; the root stays the same",
    "orifice.hole_velocity.low": "lower end of the bracket; the root stays the same",
    "road.road_waves.(profile, _)": "places at which the height is looked for",
    "road.road_waves.raw": "its amplitudes are brought to the height afterwards",
}
"""Places whose numbers decide no figure, and why: <module>.<function>, .<assigned name>, #<which number of it>."""

KEYWORDS = {"axis": "which axis of an array, no value"}
"""Arguments by keyword that are not mutated, and why."""

POWERS = {"square": 2.0, "sqrt": 0.5, "cbrt": 1.0 / 3.0}
"""Functions of numpy and math that are powers."""


class Point(NamedTuple):
    """One number or power of a module."""

    module: str
    line: int
    place: str  # <module>.<function>.<assigned name>, as far as there is one
    what: str  # "8.0 -> 8.08"

    def __str__(self) -> str:
        """As an editor finds it."""
        return f"libdamp/physics/{self.module}.py:{self.line} {self.place}: {self.what}"


class Finder(ast.NodeTransformer):
    """Lists the points of a module and changes one of them, counted from 1; with 0 it changes nothing."""

    def __init__(self, module: str, wanted: int = 0) -> None:
        self.module, self.wanted = module, wanted
        self.scope = [module]
        self.points: list[Point] = []
        self.seen: Counter[str] = Counter()

    def _point(self, node: ast.expr, changed: ast.expr, what: str) -> ast.expr:
        """The node, or its changed form where it is the point that is wanted."""
        place = ".".join(self.scope)
        self.seen[place] += 1
        name = f"{place}#{self.seen[place]}"
        if any(name.startswith((f"{skipped}.", f"{skipped}#")) or name == skipped for skipped in SKIPPED):
            return node
        self.points.append(Point(self.module, node.lineno, place, what))
        return ast.copy_location(changed, node) if len(self.points) == self.wanted else node

    def _within(self, name: str, *parts: list[ast.expr] | list[ast.stmt]) -> None:
        """Go through lists of nodes, changing them in place, under a name."""
        self.scope.append(name)
        for nodes in parts:
            nodes[:] = [self.visit(node) for node in nodes]
        self.scope.pop()

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.FunctionDef:
        """Defaults and body, no annotations."""
        self._within(node.name, node.args.defaults, node.body)
        return node

    def visit_ClassDef(self, node: ast.ClassDef) -> ast.ClassDef:
        """The body: defaults of fields."""
        self._within(node.name, node.body)
        return node

    def visit_Assign(self, node: ast.Assign) -> ast.Assign:
        """The value, under the name that it is given."""
        value = [node.value]
        self._within(ast.unparse(node.targets[0]), value)
        node.value = value[0]
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.AnnAssign:
        """The value, not the annotation."""
        if node.value is not None:
            value = [node.value]
            self._within(ast.unparse(node.target), value)
            node.value = value[0]
        return node

    def visit_Subscript(self, node: ast.Subscript) -> ast.Subscript:
        """What is picked from, not the place of the pick."""
        node.value = self.visit(node.value)
        return node

    def visit_keyword(self, node: ast.keyword) -> ast.keyword:
        """The value, but for those that say which axis."""
        return node if node.arg in KEYWORDS else self.generic_visit(node)  # type: ignore[return-value]

    def visit_Constant(self, node: ast.Constant) -> ast.expr:
        """A number other than zero."""
        if type(node.value) not in (int, float) or node.value == 0:
            return node
        changed = CHANGE * node.value
        return self._point(node, ast.Constant(changed), f"{node.value!r} -> {changed:.6g}")

    def visit_Call(self, node: ast.Call) -> ast.expr:
        """A function that is a power, and what stands in any call."""
        self.generic_visit(node)
        name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
        if name not in POWERS:
            return node
        power = CHANGE * POWERS[name]
        return self._point(node, _power(node.args[0], power), f"{ast.unparse(node)} to the power {power:.4g}")

    def visit_BinOp(self, node: ast.BinOp) -> ast.expr:
        """A factor that is repeated, and what stands in any operation."""
        repeated = _repeated(node) if isinstance(node.op, ast.Mult) else {}
        if isinstance(node.op, ast.Mult):  # a product once, from its outermost sign
            factors = [self.visit(factor) for factor in _factors(node)]
            whole: ast.expr = factors[0]
            for factor in factors[1:]:
                whole = ast.copy_location(ast.BinOp(whole, ast.Mult(), factor), node)
        else:
            whole = self.generic_visit(node)  # type: ignore[assignment]
        for text, times in repeated.items():
            factor = ast.parse(text, mode="eval").body
            more = _power(factor, (CHANGE - 1.0) * times)
            what = f"{text} to the power {CHANGE * times:.4g} for {times}"
            whole = self._point(whole, ast.BinOp(whole, ast.Mult(), more), what)
        return whole


def _power(base: ast.expr, power: float) -> ast.Call:
    function = ast.parse("__import__('numpy').power", mode="eval").body
    return ast.Call(function, [base, ast.Constant(power)], [])


def _factors(node: ast.expr) -> list[ast.expr]:
    """Factors of a product from left to right."""
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mult):
        return [*_factors(node.left), node.right]
    return [node]


def _repeated(node: ast.BinOp) -> dict[str, int]:
    """Factors of a product that stand in it more than once, numbers aside."""
    texts = Counter(ast.unparse(f) for f in _factors(node) if not isinstance(f, ast.Constant))
    return {text: times for text, times in texts.items() if times > 1}


def mutated(module: str, wanted: int) -> tuple[ast.Module, list[Point]]:
    """Source of a module with one point changed, and all of its points."""
    finder = Finder(module, wanted)
    tree = finder.visit(ast.parse((PHYSICS / f"{module}.py").read_text(encoding="utf-8")))
    return ast.fix_missing_locations(tree), finder.points


def points(module: str) -> list[Point]:
    """Every point of a module, in a fixed order."""
    return mutated(module, 0)[1]


def modules() -> list[str]:
    """Modules of equations whose numbers are to be mutated."""
    names = sorted(path.stem for path in PHYSICS.glob("*.py") if path.stem != "__init__")
    return [name for name in names if name not in LEFT_OUT]
