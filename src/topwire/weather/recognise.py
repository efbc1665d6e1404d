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
    as_it_is = text.lstrip("\ufeff")
    text = as_it_is.lstrip("\ufeff\n\r ")
    if not text:
        raise Faults([fault(label, "is empty.", _PAGE)])
    lines = text.splitlines()
    above = len(as_it_is.splitlines()) - len(lines)  # empty lines count, as they do in an editor
    whole = [""] * above + lines
    if text.startswith(("{", "[")):
        if power.is_power_json(text):
            return power.read_power_json("\n" * above + text, label)
        if '"timeseries"' in text or '"forecastOffice"' in text:
            says = "is a forecast; a forecast never enters the record."
            remedy = "Keep it with: topwire weather forecast FOLDER --file FILE"
            raise Faults([fault(label, says, remedy)])
        says = "is JSON, but not of the kind that is known (NASA POWER, with properties, parameter)."
        raise Faults([fault(label, says, _PAGE)])
    if len(lines[0]) > _LONGEST_LINE:
        raise Faults([fault(f"{label}, line {above + 1}", "is too long for a table's first line.", _PAGE)])
    if typical.is_epw(lines):
        return typical.read_epw(whole, label, first=above)
    if typical.is_tmy3(lines):
        return typical.read_tmy3(whole, label, first=above)
    if power.is_power_csv(lines):
        return power.read_power_csv(whole, label, first=above)
    if german.is_german(lines[0]):
        return german.read_german(whole, label, first=above)
    if ghcn.is_fixed_width(lines[0]):
        return ghcn.read_fixed_width(whole, label)
    first = [cell.strip() for cell in next(csv.reader(lines[:1]), [])]
    if ghcn.is_access(first):
        return ghcn.read_access(whole, label, first=above)
    if ghcn.is_by_station(first):
        return ghcn.read_by_station(whole, label)
    at = plain.header_line(whole)
    if at is not None:
        names = plain.names_of(whole, at)
        if plain.looks_plain(names):
            read = plain.read_hourly if plain.looks_hourly(names) else plain.read_daily
            return read(whole, at, label)
    begins = lines[0][:60].encode("ascii", "replace").decode()
    says = f"is of no kind that is known: it begins “{begins}”."
    raise Faults(
        [
            fault(
                f"{label}, line {above + 1}",
                says,
                f"A plain table begins: date,tmin_c,tmax_c,rain_mm. {_PAGE}",
            )
        ]
    )
