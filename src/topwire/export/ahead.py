"""What out/ is made of, made in a process beside: while the last findings are worked out, and while the book is set."""

from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import replace
from importlib import import_module

from topwire.book.ahead import ChartsAhead
from topwire.engine.beside import InTurn
from topwire.engine.orchard import Orchard

Made = dict[str, bytes | None]
_NEEDED = (
    "topwire.export.files",
    "topwire.book.build",
    "icalendar.cal",
    "xlsxwriter.workbook",
    "scipy.special",
)


class FilesAhead:
    """The book's charts and all other files of one run, begun as soon as there is what they tell of."""

    def __init__(self) -> None:
        self._beside = InTurn()
        self._begun: dict[str, Future[Made]] = {}
        self.charts = ChartsAhead(self._beside)
        self._beside.make_ready(_make_ready)

    def begin(self, orchard: Orchard) -> None:
        """Begin on what has been found so far: once the last step has answered, on the files the choice has no part in.

        Of the choice alone something may be waited for then; what the other steps found is what the files will tell.
        """
        self.charts.begin(orchard)
        if orchard.layout is not None and orchard.ledger is not None and not self._begun:
            from topwire.export.files import WITHOUT_CHOICE

            self._begin(WITHOUT_CHOICE, replace(orchard, choice=None, steps=(), notices=()))
            import_module("topwire.book.build")  # while this process has to wait

    def begin_rest(self, orchard: Orchard) -> None:
        """Everything has been found: begin on what is left. The book is made here, of the charts."""
        from topwire.export.files import FILES

        self.charts.begin(orchard)
        left = tuple(name for name in FILES if name not in self._begun and name != "book.pdf")
        self._begin(left, replace(orchard))  # what faces have made of it does not travel along

    def _begin(self, names: tuple[str, ...], orchard: Orchard) -> None:
        from topwire.export.files import made

        self._begun |= dict.fromkeys(names, self._beside.begin(made, names, orchard))

    def had(self, name: str, make: Callable[[], bytes | None]) -> bytes | None:
        """A file as it was made beside; made here where it could not be, so that what goes wrong is told as ever."""
        try:
            return self._begun[name].result()[name]
        except Exception:
            return make()

    def close(self) -> None:
        """The files are made, or none are."""
        self._beside.stop()


def _make_ready() -> None:
    """Read what the files need, and draw a chart: the first one takes as long as the next five."""
    from topwire.show.chart_style import drawn

    for module in _NEEDED:
        import_module(module)
    drawn({"mark": "point"})
