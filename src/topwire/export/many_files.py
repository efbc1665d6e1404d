"""The files of a run over many places: tables, map, the region's list and orders. Answers are read one at a time."""

import csv
import io
import json
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TextIO

import numpy as np

from topwire.export.comma import csv_bytes, harmless
from topwire.files.safely import write_safely
from topwire.many.findings import NotAnswered, PlaceAnswer
from topwire.many.kept import KeptAnswers
from topwire.many.region import Region
from topwire.many.run import ManyWanted
from topwire.show import many_sheets
from topwire.show.chart_style import svg
from topwire.show.many_map import MapPoint, region_map
from topwire.show.sheet import Column, Sheet, printed, value_of
from topwire.tell.reader import Reader, counted
from topwire.values.calendar import day_label
from topwire.values.quantities import Plain
from topwire.values.units import UnitSystem

BESIDE = ".new"


def write_region(
    wanted: ManyWanted, kept: KeptAnswers, wrong: Sequence[NotAnswered], share: float, choices: int
) -> Iterator[str]:
    """Write the files into the run's folder; lines for the terminal. Raises OSError where it cannot be written."""
    out, reader = kept.folder, Reader(_units(wanted))
    failed = {one.id for one in wrong if one not in wanted.listed.wrong}  # whose ids may be another row's
    ids = [place.id for place in wanted.listed.places if place.id not in failed]
    planned = wanted.until != "place"
    region, points = Region(), []
    columns = many_sheets.cultivar_columns(planned=planned)
    place_columns = many_sheets.place_columns(planned=planned)
    names = ("cultivars.csv", "places.csv", "places.geojson")
    streams = [_open(out / name) for name in names]
    try:
        cultivars, places, shapes = streams
        _line(cultivars, [column.heading(reader) for column in columns])
        _line(places, [column.heading(reader) for column in place_columns])
        shapes.write('{"type":"FeatureCollection","features":[')
        for number, answer in enumerate(kept.answers(ids)):
            region.take(answer)
            points.append(MapPoint(answer.longitude, answer.latitude, len(answer.fits), len(answer.lasting)))
            cultivars.write(block(columns, answer, reader))
            sheet = many_sheets.places([answer], planned=planned)
            places.write(_rows(sheet, reader))
            shapes.write(("," if number else "") + json.dumps(_feature(sheet, answer), ensure_ascii=False))
        shapes.write("]}\n")
    finally:
        for stream in streams:
            stream.close()
    for name in names:
        (out / (name + BESIDE)).replace(out / name)
    found = region.found(share, choices, wrong)
    made = {"not_answered.csv": many_sheets.not_answered(found.not_answered)}
    for name in ("region.csv", "map.svg"):  # those of an earlier run are not this one's
        (out / name).unlink(missing_ok=True)
    if found.region is not None:
        made["region.csv"] = many_sheets.region(found.region)
        write_safely(out / "map.svg", svg(region_map(points)).encode())
    if planned:
        made["orders.csv"] = many_sheets.orders(found)
    for name, sheet in made.items():
        table = printed(sheet, reader)
        write_safely(out / name, csv_bytes(table.columns, table.rows))
    yield (
        f"{counted(region.places, 'place')} answered, {len(wrong):,} not; "
        f"{counted(len(region.cultivars), 'cultivar')} each."
    )
    if found.region is not None:
        yield many_sheets.rests_on(found.region)
        yield f"Cultivars worth propagating: {', '.join(line.cultivar for line in found.region.lines) or 'none'}."
    if planned:
        yield from many_sheets.orders(found).notes
    yield f"Look at {out}: {', '.join((*names, *made, *['map.svg'] * (found.region is not None)))}."


def block(columns: Sequence[Column], answer: PlaceAnswer, reader: Reader) -> str:
    """All rows of a place under `columns` whose cells hold the values of all cultivars."""
    stream = io.StringIO(newline="")
    texts = [_texts(column, value_of(column.cell(answer)), reader) for column in columns]
    csv.writer(stream, lineterminator="\r\n").writerows(zip(*texts, strict=True))
    return stream.getvalue()


def _texts(column: Column, values: object, reader: Reader) -> Sequence[str]:
    """Each value as the sheets print it, an empty cell where there is none."""
    if not isinstance(values, np.ndarray):
        return list(map(harmless, values))  # type: ignore[call-overload]
    if column.quantity is Plain.DAY_OF_YEAR:
        return [_day(round(value)) if value == value else "" for value in values.tolist()]
    digits = column.places(reader)
    shown = reader.convert(values, column.quantity).tolist()  # type: ignore[arg-type,attr-defined]
    return [f"{value:.{digits}f}" if value == value else "" for value in shown]


@cache
def _day(day: int) -> str:
    return day_label(day)


def _rows(sheet: Sheet, reader: Reader) -> str:
    table = printed(sheet, reader)
    return csv_bytes((), table.rows).decode("utf-8-sig").partition("\r\n")[2]


def _feature(sheet: Sheet, answer: PlaceAnswer) -> dict[str, object]:
    """A place as RFC 7946 has it; properties in SI under the sheet's keys."""
    (row,) = sheet.rows
    told = {column.key: value_of(cell) for column, cell in zip(sheet.columns, row, strict=True)}
    return {
        "type": "Feature",
        "id": answer.id,
        "geometry": {"type": "Point", "coordinates": [answer.longitude, answer.latitude]},
        "properties": {
            key: None if isinstance(value, float) and not np.isfinite(value) else value
            for key, value in told.items()
            if key not in ("latitude", "longitude")
        },
    }


def _units(wanted: ManyWanted) -> UnitSystem:
    """Those of the shared plan, or of the first orchard."""
    from topwire.plan.read import parse_yaml, read_plan_text

    if wanted.template is not None:
        text = wanted.template.text
    else:
        text = read_plan_text(Path(wanted.listed.places[0].folder) / "plan.yaml")
    return UnitSystem.METRIC if parse_yaml(text, "plan.yaml").get("units") == "metric" else UnitSystem.US


def _open(path: Path) -> TextIO:
    return Path(f"{path}{BESIDE}").open("w", encoding="utf-8", newline="")


def _line(stream: TextIO, cells: Sequence[str]) -> None:
    csv.writer(stream, lineterminator="\r\n").writerow(cells)
