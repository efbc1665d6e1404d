"""Short codes: no two alike, and the same whatever is planted."""

from topwire.catalogue.model import Catalogue
from topwire.layout.codes import short_codes


def test_no_two_cultivars_share_a_code(catalogue: Catalogue) -> None:
    names = [row.name for row in catalogue.cultivars]
    codes = short_codes(names)
    assert set(codes) == set(names)
    assert len({code.lower() for code in codes.values()}) == len(names)  # grey print, and hasty handwriting
    assert all(len(code) == 3 and code.isalnum() for code in codes.values())
    assert short_codes(reversed(names)) == codes


def test_a_code_reads_like_its_name() -> None:
    codes = short_codes(["Golden Delicious", "GoldRush", "Reine des Reinettes"])
    assert codes == {"Golden Delicious": "GDe", "GoldRush": "Gol", "Reine des Reinettes": "RDR"}
