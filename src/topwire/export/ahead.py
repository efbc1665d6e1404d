"""What out/ is made of, made in a process beside: while the last findings are worked out, and while the book is set."""

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from dataclasses import replace
from importlib import import_module

from topwire.book.ahead import ChartsAhead
from topwire.engine.beside import FILES as READ
from topwire.engine.beside import InTurn, Process
from topwire.engine.orchard import Orchard

Made = dict[str, bytes | None]
_NEEDED = (READ, "topwire.book.build", "icalendar.cal")


class FilesAhead:
    """The book's charts and all other files of one run, begun as soon as there is what they tell of.

    process : one that was told to read; None = one that has not
    """

    def __init__(self, process: Process | None = None) -> None:
        self._beside = InTurn(process)
        self._begun: dict[str, Future[Made]] = {}
        self.charts = ChartsAhead(self._beside)
        self._beside.make_ready(_read)

    def begin(self, orchard: Orchard) -> None:
        """Begin on what has been found so far, from the nursery's answer on: until then every core has its work.

        A file is given the departments it tells of and no other. What a step has found stays so to the end of the run,
        but for the choice, of which a part is waited for.
        """
        self.charts.begin(orchard)
        if orchard.nursery is None:
            return
        from topwire.export.files import MADE_OF

        found = orchard.departments
        for name, told in MADE_OF.items():
            if name not in self._begun and all(found[one] is not None for one in told):
                self._begin((name,), orchard.of_alone(told))
        if orchard.ledger is not None:
            import_module("topwire.book.build")  # while this process has to wait

    def begin_rest(self, orchard: Orchard) -> None:
        """Everything has been found: begin on what is left, first on what the book waits for, which is made here."""
        from topwire.export.files import FILES, MADE_HERE

        self.charts.begin(orchard)
        begun = {name for name, one in self._begun.items() if not one.cancel()}
        left = [name for name in FILES if name not in begun and name not in MADE_HERE]
        self._begin(left, replace(orchard))  # what faces have made of it does not travel along

    def _begin(self, names: Sequence[str], orchard: Orchard) -> None:
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


def _read() -> None:
    for module in _NEEDED:
        import_module(module)
