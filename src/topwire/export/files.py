"""Writes everything in `out/`: each file whole or not at all, one failure never stopping the others."""

from collections.abc import Callable, Mapping
from pathlib import Path

from topwire.engine.orchard import Orchard
from topwire.engine.store import as_json, write_safely
from topwire.export.calendar_file import calendar
from topwire.export.comma import Absent, cultivars, grafts, needed, staking, trees, trellis_bill, water_bill
from topwire.export.geography import geojson
from topwire.export.spreadsheet import spreadsheet
from topwire.notices import Notice, warning

Writer = Callable[[Orchard], bytes]


def _book(orchard: Orchard) -> bytes:
    from topwire.book.build import book_pdf

    return book_pdf(orchard)


def _sheets(orchard: Orchard) -> bytes:
    from topwire.book.build import sheets_pdf

    needed(orchard.layout, "layout")
    return sheets_pdf(orchard)


def _labels(orchard: Orchard) -> bytes:
    from topwire.book.build import labels_pdf

    needed(orchard.layout, "layout")
    return labels_pdf(orchard)


def _ground_svg(orchard: Orchard) -> bytes:
    from topwire.show.ground_drawing import draw_ground

    drawn = draw_ground(
        needed(orchard.ground, "ground"),
        orchard.layout,
        system=orchard.origin.units,
        choice=orchard.choice,
        place=orchard.place,
    )
    return drawn.encode()


def _json(orchard: Orchard) -> bytes:
    return as_json(orchard).encode()


FILES: Mapping[str, Writer] = {
    "book.pdf": _book,
    "sheets/planting.pdf": _sheets,
    "labels.pdf": _labels,
    "trees.csv": trees,
    "cultivars.csv": cultivars,
    "orchard.xlsx": spreadsheet,
    "ground.geojson": geojson,
    "ground.svg": _ground_svg,
    "staking.csv": staking,
    "grafts.csv": grafts,
    "bill_trellis.csv": trellis_bill,
    "bill_water.csv": water_bill,
    "calendar.ics": calendar,
    "orchard.json": _json,
}


def write_all(orchard: Orchard, out: Path) -> tuple[list[Path], tuple[Notice, ...]]:
    """Every file of the orchard's result into the folder `out`.

    Returns
    -------
    written : paths of the files written
    notices : one for each file that could not be, with the reason

    Notes
    -----
    A file whose department is absent is not written; an older one of the same name is taken away, so that nothing in
    `out` tells of another plan.
    """
    written: list[Path] = []
    notices: list[Notice] = []
    for name, make in FILES.items():
        path, where = out / name, f"out/{name}"
        try:
            write_safely(path, make(orchard))
            written.append(path)
        except Absent as missing:
            notices.append(warning(where, f"not written, because {missing}."))
            path.unlink(missing_ok=True)
        except OSError as error:
            says = f"could not be written: {error.strerror or error}."
            notices.append(warning(where, says, "Close it where it is open; look for space and rights."))
        except Exception as error:  # a fault of ours must not cost the person the other files
            says = f"could not be made ({type(error).__name__}: {error})."
            notices.append(warning(where, says, "The other files stand. Please report it."))
    return written, tuple(notices)
