"""The public services that are asked on request: where they are, what they are sent, and what they ask in return."""

from dataclasses import dataclass

from topwire.weather.forecast_files import CREDITS, MET_NORWAY, NWS


@dataclass(frozen=True)
class WeatherService:
    """A service of open data.

    Attributes
    ----------
    key : short name, as it stands in the sidecar of what came
    host : the one host it is asked at; nothing is followed elsewhere
    source : who makes the data
    licence : under which they may be used
    credit : the line printed wherever they are used
    sends : what a question tells the service, in words
    needs_contact : it wants to know whom to write to before it shuts somebody out
    """

    key: str
    host: str
    source: str
    licence: str
    credit: str
    sends: str
    needs_contact: bool = False


STATIONS = WeatherService(
    "ghcn-daily",
    "www.ncei.noaa.gov",
    "NOAA National Centers for Environmental Information, GHCN-Daily",
    "public domain where made in the United States; elsewhere the maker's terms (WMO Resolution 40)",
    "Station record: NOAA NCEI, Global Historical Climatology Network - Daily (Menne and others 2012, "
    "doi:10.7289/V5D21VHZ).",
    "the names of the stations whose records are wanted, nothing of the orchard: the search for near ones is made on "
    "this machine",
)
CELL = WeatherService(
    "power-daily",
    "power.larc.nasa.gov",
    "NASA Langley Research Center, POWER project",
    "free to use; no key",
    "Cell record: the data was obtained from the National Aeronautics and Space Administration (NASA) Langley Research "
    "Center (LaRC) Prediction of Worldwide Energy Resource (POWER) Project funded through the NASA Earth "
    "Science/Applied Science Program.",
    "the orchard's latitude and longitude, rounded to hundredths of a degree (about 1 km), and the dates wanted",
)
GERMAN = WeatherService(
    "dwd-daily",
    "opendata.dwd.de",
    "Deutscher Wetterdienst, Climate Data Center",
    "CC BY 4.0",
    "Station record: Datenbasis: Deutscher Wetterdienst (CC BY 4.0).",
    "the number of the station, nothing of the orchard",
)
GRID_AHEAD = WeatherService(
    "nws-grid",
    "api.weather.gov",
    NWS,
    "public domain",
    CREDITS[NWS],
    "the orchard's latitude and longitude, rounded to hundredths of a degree (about 1 km)",
    needs_contact=True,
)
POINT_AHEAD = WeatherService(
    "met-norway",
    "api.met.no",
    MET_NORWAY,
    "CC BY 4.0",
    CREDITS[MET_NORWAY],
    "the orchard's latitude and longitude, rounded to hundredths of a degree (about 1 km), and its height; the service "
    "keeps who asked in its log",
    needs_contact=True,
)
SERVICES = {one.key: one for one in (STATIONS, CELL, GERMAN, GRID_AHEAD, POINT_AHEAD)}
