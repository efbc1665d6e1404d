"""Draws the pictures of README.md anew from the demonstration's result: `make demo pictures`."""

import sys
from pathlib import Path

from pydantic import TypeAdapter

from topwire.engine.orchard import Orchard
from topwire.export.files import writers
from topwire.show.charts import department_charts, svg
from topwire.show.trellis_drawing import draw_elevation

HERE = Path(__file__).parent


def main(folder: Path) -> None:
    orchard = TypeAdapter(Orchard).validate_json((folder / "out/orchard.json").read_bytes())
    ground = writers(orchard)["ground.svg"]()
    assert ground is not None
    assert orchard.trellis is not None
    (HERE / "ground.svg").write_bytes(ground)
    (service,) = [chart for chart in department_charts(orchard, "choice") if chart.name == "service"]
    (HERE / "service.svg").write_text(svg(service), encoding="utf-8")
    row = orchard.trellis.rows[0]
    (HERE / "trellis.svg").write_text(draw_elevation(row, system=orchard.origin.units), encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
