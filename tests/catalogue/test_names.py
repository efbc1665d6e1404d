"""A cultivar is found by each of its names, and shown by one."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest
from engine import small

import topwire
from topwire.catalogue.model import Catalogue
from topwire.catalogue.names import bare_name, names_of
from topwire.catalogue.tables import read_tables
from topwire.engine.check import check_folder
from topwire.engine.inputs import read_inputs
from topwire.engine.last_layout import last_layout
from topwire.records.read import read_records
from topwire.values.own_date import OwnDate
from topwire.values.severity import Severity

SHIPPED = Catalogue(read_tables())
OTHER_NAMES = {name for row in SHIPPED.cultivars for name in (*row.synonyms, *row.trade_marks)}
MODULES = sorted(Path(topwire.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Zestar", "Minnewashta"),
        ("zestar!", "Minnewashta"),
        ("Pink Lady", "Cripps Pink"),
        ("Crimson Crisp", "Co-op 39"),
        ("CrimsonCrisp", "Co-op 39"),
        ("Pristine", "Co-op 32"),
        ("Cameo", "Caudle"),
        ("Suncrisp", "NJ55"),
        ("Pinata", "Pinova"),
        ("Piñata", "Pinova"),
        ("ashmeads kernel", "Ashmead's Kernel"),
        ("Golden Delicious", "Golden Delicious"),
        ("Nobody's Apple", "Nobody's Apple"),
    ],
)
def test_every_name_leads_to_the_cultivar(written: str, name: str) -> None:
    assert SHIPPED.names.catalogue_name(written) == name


def test_no_two_cultivars_share_a_name_and_no_mark_is_a_name() -> None:
    bare = [bare_name(row.name) for row in SHIPPED.cultivars]
    assert len(set(bare)) == len(bare)
    for row in SHIPPED.cultivars:
        for mark in row.trade_marks:
            assert bare_name(mark) not in bare, mark
            assert SHIPPED.names.catalogue_name(mark) == row.name
            assert row.evidence is not None
            assert "trade_marks=" in row.evidence


def strings_of(node: ast.AST) -> Iterator[str]:
    """Texts of a set, or keys of a mapping, written out in code."""
    among = node.elts if isinstance(node, ast.Set) else node.keys if isinstance(node, ast.Dict) else ()
    yield from (one.value for one in among if isinstance(one, ast.Constant) and isinstance(one.value, str))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_code_calls_a_cultivar_by_the_catalogues_name(path: Path) -> None:
    """A mark or synonym in code would meet no row; nor would a slip among the names of a set or mapping."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            assert node.value not in OTHER_NAMES, SHIPPED.names.catalogue_name(node.value)
        listed = set(strings_of(node))
        if listed & set(SHIPPED.cultivar):
            assert listed <= set(SHIPPED.cultivar)


def test_a_name_two_cultivars_share_means_neither() -> None:
    names = names_of(
        [{"name": "Red Limb", "synonyms": "Limb"}, {"name": "Black Limb", "synonyms": "Limb|Dark Limb"}]
    )
    assert names.catalogue_name("Limb") == "Limb"
    assert names.catalogue_name("dark limb") == "Black Limb"


def test_old_plans_tables_and_records_go_on_under_the_cultivars_name(tmp_path: Path) -> None:
    folder = small.make(tmp_path / "yard", years=3)
    text = (folder / "plan.yaml").read_text(encoding="utf-8")
    text = text.replace("own_grafts_only: true", "own_grafts_only: true, must_have: [Zestar, Cameo]")
    text = text.replace("total: 12,", "total: 12, rootstock_for: {Zestar: G.11},")
    (folder / "plan.yaml").write_text(text, encoding="utf-8")
    for name, table in (
        ("catalogue/cultivars.csv", "name,storage_weeks\nZestar,9\n"),
        ("catalogue/wood_hardiness.csv", "name,hardiness\nPristine,hardy\n"),
        ("records/bloom.csv", "entry,cultivar,event,date\n1,Zestar,full bloom,2024-04-30\n"),
    ):
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(table, encoding="utf-8")
    inputs = read_inputs(folder)
    assert inputs.plan.taste.must_have == ["Minnewashta", "Caudle"]
    assert inputs.plan.trees.rootstock_for == {"Minnewashta": "G.11"}
    assert inputs.catalogue.cultivar["Minnewashta"].storage_weeks == 9
    assert "Zestar" not in inputs.catalogue.cultivar
    assert inputs.catalogue.tables["wood_hardiness"].rows["Co-op 32"].own
    (seen,) = read_records(folder, inputs.catalogue).rows("bloom", OwnDate)
    assert seen.cultivar == "Minnewashta"
    told = [notice for notice in check_folder(folder).notices if "trade mark" in notice.says]
    assert [notice.severity for notice in told] == [Severity.REMARK] * 3
    assert "plan.yaml, line" in told[0].where
    assert "“Zestar”" in told[0].says
    assert "Minnewashta" in told[0].says


def test_a_layout_written_under_a_mark_is_no_other_layout(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out/orchard.json").write_text(
        """{"ground": {"block": [0], "row": [0], "place": [1], "blocks": [{"name": "A", "rows": [{"number": 1}]}]},
        "layout": {"cultivars": ["Zestar"], "cultivar": [0], "asked": "", "from_last": false}}""",
        encoding="utf-8",
    )
    found = last_layout(tmp_path, SHIPPED.names.catalogue_name)
    assert found is not None
    assert found.cultivar == ("Minnewashta",)
