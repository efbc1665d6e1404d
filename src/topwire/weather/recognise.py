"""Which kind of file this is: told by what stands in it, never by its name."""

import csv

from topwire.values.fault import Faults, fault
from topwire.weather import german, ghcn, plain, power, typical
from topwire.weather.reading import Reading

_LONGEST_LINE = 50_000  # characters
_PAGE = "docs/weather.md shows all kinds."


def read_any(text: str, label: str) -> Reading:
    """One file's text, read by the reader of its kind.

    Raises
    ------
    Faults
        Of no known kind, or what its reader found wrong.
    """
    as_it_is = text.lstrip("\ufeff").splitlines()
    text = text.lstrip("\ufeff\n\r ")
    if not text:
        raise Faults([fault(label, "is empty.", _PAGE)])
    lines = text.splitlines()
    if text.startswith(("{", "[")):
        if power.is_power_json(text):
            return power.read_power_json(text, label)
        if '"timeseries"' in text or '"forecastOffice"' in text:
            says = "is a forecast; a forecast never enters the record."
            remedy = "Keep it with: topwire weather forecast FOLDER --file FILE"
            raise Faults([fault(label, says, remedy)])
        says = "is JSON, but not of the kind that is known (NASA POWER, with properties, parameter)."
        raise Faults([fault(label, says, _PAGE)])
    if len(lines[0]) > _LONGEST_LINE:
        raise Faults([fault(f"{label}, line 1", "is too long for a table's first line.", _PAGE)])
    if typical.is_epw(lines):
        return typical.read_epw(lines, label)
    if typical.is_tmy3(lines):
        return typical.read_tmy3(lines, label)
    if power.is_power_csv(lines):
        return power.read_power_csv(lines, label)
    if german.is_german(lines[0]):
        return german.read_german(lines, label)
    if ghcn.is_fixed_width(lines[0]):
        return ghcn.read_fixed_width(lines, label)
    first = [cell.strip() for cell in next(csv.reader(lines[:1]), [])]
    if ghcn.is_access(first):
        return ghcn.read_access(lines, label)
    if ghcn.is_by_station(first):
        return ghcn.read_by_station(lines, label)
    at = plain.header_line(as_it_is)  # empty lines above it count, as they do in an editor
    if at is not None:
        names = plain.names_of(as_it_is, at)
        if plain.looks_plain(names):
            read = plain.read_hourly if plain.looks_hourly(names) else plain.read_daily
            return read(as_it_is, at, label)
    begins = lines[0][:60].encode("ascii", "replace").decode()
    says = f"is of no kind that is known: it begins “{begins}”."
    raise Faults(
        [fault(f"{label}, line 1", says, f"A plain table begins: date,tmin_c,tmax_c,rain_mm. {_PAGE}")]
    )
