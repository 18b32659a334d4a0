"""The shape of the library: imports point down, files and functions stay small, one word for one thing."""

import ast
import importlib
import pkgutil
import subprocess
import sys
import typing
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

import libdamp
from libdamp.calculations import CALCULATIONS
from libdamp.quantities import QUANTITIES

LAYERS = (
    "errors",
    "quantities",
    "plain",
    "checked",
    "entries",
    "findings",
    "answers",
    "physics",
    "parts",
    "oils",
    "pocket",
    "car",
    "damping",
    "filling",
    "standing",
    "riding",
    "stance",
    "landing",
    "springs",
    "clips",
    "moving",
    "windows",
    "runs",
    "touching",
    "fast_findings",
    "drops",
    "ground",
    "releases",
    "cycling",
    "batches",
    "together",
    "blending",
    "bottles",
    "two_speeds",
    "drilling",
    "matching",
    "grading",
    "bubbles",
    "typical",
    "mixtures",
    "in_hand",
    "goals",
    "grid",
    "working",
    "headlines",
    "guessing",
    "guessed_builds",
    "tables",
    "searching",
    "builds",
    "trading",
    "pairing",
    "likely",
    "to_buy",
    "missing_part",
    "in_motion",
    "in_rounds",
    "wording",
    "planning",
    "as_built",
    "alternatives",
    "effects",
    "sentences",
    "questions",
    "changing",
    "drafting",
    "assume",
    "assumed_tyre",
    "bands",
    "files",
    "converting",
    "addresses",
    "schemas",
    "ranges",
    "repeating",
    "sweeping",
    "uncertain",
    "shares",
    "ride_samples",
    "season_words",
    "seasons",
    "sampling",
    "tolerances",
    "splitting",
    "comparing",
    "calculations",
    "packing",
    "demo",
    "logbook",
    "season_table",
    "sheet_landing",
    "sheet_data",
    "sheet_columns",
    "sheet_words",
    "sheet_hands",
    "sheet_changes",
    "sheet",
    "changes_lines",
    "drawing",
    "pictures",
    "sheet_style",
    "sheet_page",
    "__main__",
)
"""Modules and packages from the ground up: each imports only what stands before it."""

PHYSICS_COMMON = ("numbers", "roots", "oil")
"""The only modules of the equations that other equations import."""

PHYSICS_STEPS = ("orifice", "flow_table", "stepping", "chamber", "motion")
"""The engine of motion from the ground up: each may import those before it."""

FOREIGN = ("service", "libdamp_service", "litestar")
THIRD_PARTY = {"numpy", "msgspec"}
OPTIONAL = {"matplotlib"}
LONGEST_FILE, LONGEST_BODY = 400, 40

ROOT = Path(libdamp.__file__).parent
SOURCES = sorted(ROOT.rglob("*.py"))
NAMES = [str(path.relative_to(ROOT)) for path in SOURCES]

FIELD_OF: dict[str, set[str]] = {
    "touch_height_mm": {"height_mm"},
    "touch_low_mm": {"low_mm"},
    "touch_high_mm": {"high_mm"},
    "touch_tyre_low_mm": {"tyre_low_mm"},
    "touch_tyre_high_mm": {"tyre_high_mm"},
    "insertion_mm": {"centre_insertion_mm", "insertion_mm"},
    "release_settle_s": {"settle_s"},
    "builds": {"considered", "equally_good", "legal"},
    "change_gain": {"gain"},
    "changes_considered": {"considered"},
    "concern": {"front_concern", "rear_concern"},
    "collar_mm": {"collar_for_level_mm"},
    "compared.fast_n": {"fast_compression_n", "fast_rebound_n"},
    "compared.slow_n": {"slow_compression_n", "slow_rebound_n"},
    "damping_error_share": {"damping_error_share_unchanged"},
    "damping_ratio": {
        "cold_damping_ratio",
        "damping_ratio_compression",
        "damping_ratio_compression_unchanged",
        "damping_ratio_rebound",
        "damping_ratio_rebound_unchanged",
        "wanted_damping_ratio_compression",
        "wanted_damping_ratio_rebound",
    },
    "density_now_kg_m3": {"density_kg_m3"},
    "distance": {"best_of_equals", "lowers_by", "term"},
    "drill_mm": {"drills_mm"},
    "force_ratio": {
        "drill_high_speed_ratio",
        "drill_low_speed_ratio",
        "high_speed_ratio",
        "low_speed_ratio",
        "oil_alone_high_speed_ratio",
    },
    "gas_force_n": {"gas_force_droop_n", "gas_force_full_n", "gas_force_mid_n"},
    "mix_parts": {"thick_parts", "thin_parts"},
    "leak_share": {"leak_share_compression", "leak_share_rebound"},
    "limiter_mm": {"limiters_mm"},
    "hole_mm": {"holes_mm"},
    "low_speed_n_s_m": {"low_speed_compression_n_s_m", "low_speed_rebound_n_s_m"},
    "match.speed_m_s": {"speeds_m_s"},
    "pressure_kpa": {"pressure_cold_kpa", "pressure_hot_kpa"},
    "ratio_at_level": {"motion_ratio"},
    "preload_now_mm": {"preload_mm"},
    "thick_share_volume": {"thick_share"},
    "blend_low_cst": {"low_cst"},
    "blend_high_cst": {"high_cst"},
    "table_label_value": {"lower_label_value", "upper_label_value"},
    "table_cst": {"lower_cst", "upper_cst"},
    "iso_grade_number": {"grade", "grade_above", "grade_below"},
    "iso_low_cst": {"low_cst"},
    "iso_high_cst": {"high_cst"},
    "wire_rate_n_mm": {"rate_n_mm"},
    "wire_block_length_mm": {"block_length_mm"},
    "real_drill_mm": {"drill_mm", "drills_mm"},
    "reynolds": {"reynolds_compression", "reynolds_rebound"},
    "row_place": {"row"},
    "scale_reading_g": {"front_left", "front_right", "rear_left", "rear_right"},
    "shaft_speed_m_s": {"speed_m_s"},
    "spacer_mm": {"spacers_mm"},
    "spare_ml": {"spare_cold_ml", "spare_hot_ml"},
    "speed_m_s": {"speeds_m_s"},
    "temperature_c": {
        "candidate_temperature_c",
        "fill_temperature_c",
        "from_temperature_c",
        "reference_temperature_c",
        "run_temperature_c",
        "temperatures_c",
        "to_temperature_c",
    },
    "value": {"target", "tolerance"},
    "viscosity_25_cst": {
        "drill_viscosity_cst",
        "oil_alone_viscosity_cst",
        "viscosity_cst",
        "wanted_viscosity_cst",
    },
    "viscosity_now_cst": {"viscosity_cst"},
    "viscous_share": {"viscous_share_compression", "viscous_share_rebound"},
}
"""Fields that do not bear their quantity's name: the place, the direction or the moment is said as well."""


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _imported(path: Path) -> Iterator[str]:
    """Absolute dotted names of everything a file imports, late imports too."""
    package = ["libdamp", *path.relative_to(ROOT).parent.parts]
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = package[: len(package) - node.level + 1] if node.level else []
            base = ".".join([*start, *((node.module or "").split(".") if node.module else [])])
            yield from (f"{base}.{alias.name}" for alias in node.names)


def _layer(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_imports_point_down(path: Path) -> None:
    """A module imports only modules that stand before it, its own package aside."""
    own = _layer(path)
    if own == "__init__":
        return
    assert own in LAYERS, f"{own} has no place among the layers"
    below = LAYERS[: LAYERS.index(own)]
    for name in _imported(path):
        parts = name.split(".")
        if parts[0] == "libdamp" and parts[1:] not in ([], ["__version__"]) and parts[1] != own:
            assert parts[1] in below, f"{path.name} imports {name}"


@pytest.mark.parametrize("path", [p for p in SOURCES if _layer(p) == "physics"], ids=lambda p: p.stem)
def test_equations_import_no_models(path: Path) -> None:
    """Equations import numbers, the root-finder and what an oil is in shear, no other subject and no model."""
    for name in _imported(path):
        parts = name.split(".")
        if parts[0] == "libdamp":
            assert parts[1] == "physics"
            engine = PHYSICS_STEPS[: PHYSICS_STEPS.index(path.stem)] if path.stem in PHYSICS_STEPS else ()
            assert parts[2] in (*PHYSICS_COMMON, *engine), f"{path.name} imports {name}"


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_nothing_foreign(path: Path) -> None:
    """The library needs numpy and msgspec, never the service; pictures are the only extra."""
    for name in _imported(path):
        top = name.split(".")[0]
        assert top not in FOREIGN
        known = top in sys.stdlib_module_names or top in THIRD_PARTY | {"libdamp"}
        assert known or (top in OPTIONAL and path.stem in ("drawing", "pictures")), f"{path.name} imports {name}"


def test_import_is_light() -> None:
    """A fresh `import libdamp`, and a calculation, load neither scipy nor matplotlib nor a web framework."""
    code = (
        "import sys, libdamp; libdamp.convert(value='1 N', to='gf'); "
        "print(sorted({'scipy', 'matplotlib', 'litestar', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT.parent)
    assert done.stdout.strip() == "[]"


def test_import_alone_loads_no_module_of_its_own() -> None:
    """A fresh `import libdamp` loads numpy and the library's modules only when a name is asked for."""
    code = "import sys, libdamp; print([m for m in sys.modules if m.startswith(('libdamp.', 'numpy'))])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT.parent)
    assert done.stdout.strip() == "[]"


def test_no_module_bears_a_public_name() -> None:
    """`libdamp.ride` is the function whatever was imported before: no module is called like a public name."""
    modules = {module.name for module in pkgutil.iter_modules(libdamp.__path__)}
    assert not modules & set(libdamp.__all__)
    assert not modules & set(CALCULATIONS)


def test_public_names_exist() -> None:
    """Every public name loads, every calculation is public."""
    for name in libdamp.__all__:
        assert getattr(libdamp, name) is not None
    assert set(CALCULATIONS) <= set(libdamp.__all__)


@pytest.mark.parametrize("path", SOURCES, ids=NAMES)
def test_files_and_functions_stay_small(path: Path) -> None:
    """No file over 400 lines; no function body over 40, its docstring aside."""
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST_FILE
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) is not None else node.body
            if body:
                lines = (body[-1].end_lineno or 0) - body[0].lineno + 1
                assert lines <= LONGEST_BODY, f"{path.name}: {node.name} has {lines} lines"


def _rows(hint: typing.Any) -> Iterator[str]:
    """Names of the quantities that an annotation carries, at any depth."""
    for meta in getattr(hint, "__metadata__", ()):
        if getattr(meta, "extra", None):
            yield meta.extra["quantity"].name
    for inner in typing.get_args(hint):
        yield from _rows(inner)


def _structs() -> list[type[msgspec.Struct]]:
    found: set[type[msgspec.Struct]] = {entry.request for entry in CALCULATIONS.values()}
    for module in pkgutil.walk_packages(libdamp.__path__, "libdamp."):
        if not module.name.endswith("__main__"):
            loaded = importlib.import_module(module.name)
            for value in vars(loaded).values():
                if isinstance(value, type) and issubclass(value, msgspec.Struct):
                    found.add(value)
    return sorted(found, key=lambda struct: (struct.__module__, struct.__name__))


def _quantity_fields() -> Iterator[tuple[str, str, str]]:
    for struct in _structs():
        for field, hint in typing.get_type_hints(struct, include_extras=True).items():
            for row in _rows(hint):
                yield struct.__name__, field, row


def test_fields_bear_their_quantitys_name() -> None:
    """A field is called like its quantity, or like its last part, or says more in the map above."""
    wrong = [
        (struct, field, row)
        for struct, field, row in _quantity_fields()
        if field not in (row, row.rsplit(".", 1)[-1]) and field not in FIELD_OF.get(row, ())
    ]
    assert not wrong


def test_the_map_of_names_is_needed() -> None:
    """No line of the map, no row of the table stands for nothing."""
    used: dict[str, set[str]] = {}
    for _, field, row in _quantity_fields():
        used.setdefault(row, set()).add(field)
    assert not [(row, field) for row, fields in FIELD_OF.items() for field in fields - used.get(row, set())]


def test_every_float_has_a_quantity() -> None:
    """Every plain float field of a request part is a quantity of the table: possible range, unit, meaning."""
    from libdamp.checked import Model

    bare = []
    for struct in _structs():
        if issubclass(struct, Model) and struct is not Model:
            hints = typing.get_type_hints(struct, include_extras=True)
            bare += [(struct.__name__, name) for name, hint in hints.items() if float in _plain(hint)]
    assert bare == [("ConvertRequest", "value")]


def _plain(hint: typing.Any) -> set[typing.Any]:
    """Types that stand in an annotation without a quantity."""
    if any(True for _ in _rows(hint)):
        return set()
    return {hint} | {part for inner in typing.get_args(hint) for part in _plain(inner)}


def test_possible_holds_usual() -> None:
    """The usual range lies within the possible one, both the right way round; every row has a meaning."""
    for row in QUANTITIES.values():
        assert row.meaning
        if row.possible is not None:
            assert row.possible[0] < row.possible[1]
        if row.usual is not None:
            assert row.possible is not None
            assert row.possible[0] <= row.usual[0] < row.usual[1] <= row.possible[1]
