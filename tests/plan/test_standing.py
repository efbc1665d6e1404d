"""Trees that already stand."""

import pytest

from topwire.plan.standing import parse_standing
from topwire.values.fault import Faults

HEAD = "cultivar,rootstock,block,row,place,year\n"


def read(text: str) -> object:
    return parse_standing(
        text,
        "standing.csv",
        cultivars=["Gala", "GoldRush"],
        rootstocks=["G.41"],
        blocks=["South"],
        catalogue_name=lambda name: {"Kidd's D8": "Gala"}.get(name, name),
    )


def test_reads_trees_and_synonyms() -> None:
    trees = read(HEAD + "Kidd's D8,G.41,South,1,4,2019\n")
    assert [tree.cultivar for tree in trees] == ["Gala"]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("cultivar,block\nGala,South\n", "missing: rootstock, row, place, year"),
        (HEAD + "Galla,G.41,South,1,4,2019\n", "line 2, cultivar: “Galla” is not known. Did you mean Gala?"),
        (HEAD + "Gala,G.14,South,1,4,2019\n", "Did you mean G.41?"),
        (HEAD + "Gala,G.41,Nord,1,4,2019\n", "line 2, block"),
        (HEAD + "Gala,G.41,South,one,4,2019\n", "line 2, row: “one” is not a whole number"),
        (HEAD + "Gala,G.41,South,1,4,2019\nGoldRush,G.41,South,1,4,2020\n", "already stands in line 2"),
    ],
)
def test_says_what_is_wrong(text: str, says: str) -> None:
    with pytest.raises(Faults) as found:
        read(text)
    assert any(says in str(notice) for notice in found.value.notices)
