"""A stand-in of the weather services on this machine, with their manners, faults included.

Answers are made here, in the shapes the services document; every value is invented. Run by hand:
``python tests/weather/online/standin.py 8765``, then ``TOPWIRE_STANDIN=http://127.0.0.1:8765 topwire weather ...``.
"""

import gzip
import io
import json
import sys
import threading
import time
import zipfile
from datetime import UTC, date, datetime, timedelta
from email.utils import format_datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from math import cos, pi
from typing import Any
from urllib.parse import parse_qs, urlsplit

LOG_IN = b"<!doctype html><html><title>Farm Shop Wi-Fi</title><form>Room number</form></html>"
STATIONS = (
    ("USC00999999", 40.1000, -77.2000, 180.0, "PA INVENTED HOLLOW 2 NW", 1990, 2026),
    ("USW00099998", 40.2210, -76.8510, 105.2, "PA INVENTED REGIONAL AP", 1991, 2026),
    ("USC00999997", 40.1100, -77.2300, 490.0, "PA INVENTED RIDGE TOP", 1990, 2026),
    ("USC00999990", 40.1300, -77.2100, -999.9, "PA INVENTED OLD MILL", 1893, 1978),
)
RAIN_ONLY = ("US1PAXX0001", 40.0700, -77.2500, 231.0, "PA INVENTED RAIN GAUGE", 2009, 2026)
BEGINS = date(2010, 1, 1)


class _Quiet(ThreadingHTTPServer):
    """Whoever asks may hang up in the middle of an answer: that is no fault of the server's."""

    def handle_error(self, request: Any, client_address: Any) -> None:
        pass


class Standin:
    """The services; `faults` are taken one a question whose path holds the key, until none is left."""

    def __init__(self, port: int = 0, today: date | None = None) -> None:
        self.faults: dict[str, list[str]] = {}
        self.asked: list[tuple[str, dict[str, str]]] = []
        self.today = today or datetime.now(UTC).date()
        self.warmer = 0.0  # what past values are changed by
        self.left_out: set[int] = set()  # years a station has no day of
        self.server = _Quiet(("127.0.0.1", port), _handler(self))
        self.address = f"http://127.0.0.1:{self.server.server_address[1]}"
        self.thread = threading.Thread(target=self.server.serve_forever, daemon=True)

    def __enter__(self) -> "Standin":
        self.thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.server.shutdown()
        self.server.server_close()
        self.thread.join()

    def fault(self, path: str) -> str:
        for part, waiting in self.faults.items():
            if part in path and waiting:
                return waiting.pop(0)
        return ""

    def paths(self) -> list[str]:
        return [path for path, _ in self.asked]


def _warmth(day: date, shift: float = 0.0) -> tuple[float, float]:
    """Lowest and highest of a day: a year's wave and a wobble, invented."""
    of_year = day.timetuple().tm_yday
    wobble = ((day.toordinal() * 7919) % 101 - 50) / 15 + ((day.toordinal() // 5 * 104729) % 89 - 44) / 9
    mean = 11 - 13 * cos(2 * pi * (of_year - 20) / 365) + wobble + shift
    return round(mean - 6, 1), round(mean + 6, 1)


def station_csv(standin: Standin, station: str, *, factor: int = 10) -> bytes:
    """The "access" layout."""
    _, north, east, height, name, *_ = next(one for one in STATIONS if one[0] == station)
    lines = [
        '"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","PRCP","PRCP_ATTRIBUTES","TMAX","TMAX_ATTRIBUTES",'
        '"TMIN","TMIN_ATTRIBUTES"'
    ]
    day = BEGINS
    while day < standin.today - timedelta(days=2):
        if day.year not in standin.left_out:
            shift = standin.warmer if day.year == standin.today.year and day.month == 1 else 0.0
            low, high = _warmth(day, shift - (0.0065 * (height - 180)))
            rain = max((day.toordinal() * 31) % 97 - 70, 0)
            lines.append(
                f'"{station}","{day}","{north:.4f}","{east:.4f}","{height}","{name[3:]}, PA US","{rain:5d}",",,7,0700",'
                f'"{round(high * factor):5d}",",,7","{round(low * factor):5d}",",,7"'
            )
        day += timedelta(days=1)
    return ("\n".join(lines) + "\n").encode()


def power_json(query: dict[str, str], *, units: str = "C") -> bytes:
    """The daily answer of a cell; the last two days are not there yet."""
    first, last = (datetime.strptime(query[key], "%Y%m%d").date() for key in ("start", "end"))
    today = datetime.now(UTC).date()
    names = query["parameters"].split(",")
    values: dict[str, dict[str, float]] = {name: {} for name in names}
    day = first
    while day <= last:
        low, high = _warmth(day, 1.0)
        told = {"T2M_MIN": low, "T2M_MAX": high, "PRECTOTCORR": 2.1, "RH2M": 70.5, "WS2M": 2.2}
        told["ALLSKY_SFC_SW_DWN"] = 15.5
        for name in names:
            values[name][f"{day:%Y%m%d}"] = -999.0 if day >= today - timedelta(days=2) else told[name]
        day += timedelta(days=1)
    said = dict.fromkeys(names, "")
    said |= {"T2M_MIN": units, "T2M_MAX": units, "PRECTOTCORR": "mm/day", "RH2M": "%", "WS2M": "m/s"}
    said["ALLSKY_SFC_SW_DWN"] = "MJ/m^2/day"
    tree = {
        "type": "Feature",
        "geometry": {
            "type": "Point",
            "coordinates": [float(query["longitude"]), float(query["latitude"]), 214.6],
        },
        "properties": {"parameter": values},
        "header": {"title": "Daily", "fill_value": -999.0, "time_standard": "LST"},
        "parameters": {name: {"units": said[name], "longname": name} for name in names},
    }
    return json.dumps(tree).encode()


def grid_json(*, hours: int = 150, unit: str = "wmoUnit:degC", old: float = 0.0) -> bytes:
    """The raw grid of a cell from this hour on."""
    start = datetime.now(UTC).replace(minute=0, second=0, microsecond=0)
    issued = start - timedelta(minutes=30) - timedelta(hours=old)

    def layer(uom: str, step: int, value: Any) -> dict[str, Any]:
        stretches = [
            {
                "validTime": f"{start + timedelta(hours=at):%Y-%m-%dT%H:%M:%S+00:00}/PT{step}H",
                "value": value(at),
            }
            for at in range(0, hours, step)
        ]
        return {"uom": uom, "values": stretches}

    tree = {
        "geometry": {
            "type": "Polygon",
            "coordinates": [
                [[-77.21, 40.09], [-77.21, 40.11], [-77.18, 40.11], [-77.18, 40.09], [-77.21, 40.09]]
            ],
        },
        "properties": {
            "updateTime": issued.isoformat(),
            "gridId": "XXX",
            "gridX": "40",
            "gridY": "50",
            "forecastOffice": "https://api.weather.gov/offices/XXX",
            "elevation": {"unitCode": "wmoUnit:m", "value": 182.9},
            "temperature": layer(unit, 1, lambda at: 8.0 + 6.0 * cos(2 * pi * (at - 4) / 24)),
            "relativeHumidity": layer("wmoUnit:percent", 3, lambda at: 60),
            "windSpeed": layer("wmoUnit:km_h-1", 6, lambda at: 9.0),
            "probabilityOfPrecipitation": layer("wmoUnit:percent", 12, lambda at: 20),
            "quantitativePrecipitation": layer("wmoUnit:mm", 6, lambda at: 1.2),
        },
    }
    return json.dumps(tree).encode()


def point_json(query: dict[str, str]) -> bytes:
    """The point forecast: two days of hours, then steps of six."""
    start = datetime.now(UTC).replace(minute=0, second=0, microsecond=0)
    at = [*range(0, 54), *range(54, 216, 6)]
    series = []
    for here, after in zip(at, [*at[1:], None], strict=True):
        details = {"air_temperature": 7.0 + 5.0 * cos(2 * pi * here / 24), "relative_humidity": 66.0}
        data: dict[str, Any] = {
            "instant": {"details": details | {"wind_speed": 2.5, "cloud_area_fraction": 40.0}}
        }
        if after is not None:
            data[f"next_{after - here}_hours"] = {"details": {"precipitation_amount": 0.6}}
        series.append({"time": f"{start + timedelta(hours=here):%Y-%m-%dT%H:%M:%SZ}", "data": data})
    units = {
        "air_temperature": "celsius",
        "relative_humidity": "%",
        "wind_speed": "m/s",
        "cloud_area_fraction": "%",
        "precipitation_amount": "mm",
    }
    place = [float(query["lon"]), float(query["lat"]), float(query["altitude"])]
    tree = {
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": place},
        "properties": {
            "meta": {"updated_at": f"{start:%Y-%m-%dT%H:%M:%SZ}", "units": units},
            "timeseries": series,
        },
    }
    return json.dumps(tree).encode()


def points_json() -> bytes:
    told = {
        "forecastGridData": "https://api.weather.gov/gridpoints/XXX/40,50",
        "timeZone": "America/New_York",
    }
    return json.dumps({"properties": told}).encode()


def station_list() -> bytes:
    lines = [
        f"{one[0]:11} {one[1]:8.4f} {one[2]:9.4f} {one[3]:6.1f} {one[4]:33}" for one in (*STATIONS, RAIN_ONLY)
    ]
    return ("\n".join(lines) + "\n").encode()


def inventory() -> bytes:
    lines = [
        f"{one[0]:11} {one[1]:8.4f} {one[2]:9.4f} {element} {one[5]} {one[6]}"
        for one in STATIONS
        for element in ("TMAX", "TMIN", "PRCP")
    ]
    lines.append(f"{RAIN_ONLY[0]:11} {RAIN_ONLY[1]:8.4f} {RAIN_ONLY[2]:9.4f} PRCP 2009 2026")
    return ("\n".join(lines) + "\n").encode()


def _handler(standin: Standin) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def log_message(self, *_: object) -> None:
            pass

        def do_GET(self) -> None:
            parts = urlsplit(self.path)
            host, _, path = parts.path.lstrip("/").partition("/")
            query = {key: values[0] for key, values in parse_qs(parts.query).items()}
            standin.asked.append((f"{host}/{path}", dict(self.headers.items())))
            fault = standin.fault(self.path)
            if self._broken(fault, host, path, query):
                return
            if "topwire/" not in self.headers.get("User-Agent", ""):
                self._send(403, b'{"detail": "who asks?"}')
            elif any(len(part.partition(".")[2]) > 4 for part in _numbers(path, query)):
                self._send(403 if "met.no" in host else 400, b'{"detail": "more than 4 decimals"}')
            elif "If-Modified-Since" in self.headers or "If-None-Match" in self.headers:
                if fault == "changed":
                    self._content(host, path, query, fault)
                else:
                    self._send(304, b"", self._headers(host))
            else:
                self._content(host, path, query, fault)

        def _content(self, host: str, path: str, query: dict[str, str], fault: str) -> None:
            body = _body(standin, host, path, query, fault)
            if body is None:
                self._send(404, b'{"detail": "not here"}')
                return
            self._send(203 if fault == "outdated" else 200, body, self._headers(host))

        def _headers(self, host: str) -> dict[str, str]:
            moment = datetime.now(UTC)
            headers = {"Last-Modified": format_datetime(moment - timedelta(hours=1), usegmt=True)}
            if host in ("api.met.no", "api.weather.gov"):
                headers["Expires"] = format_datetime(moment + timedelta(minutes=30), usegmt=True)
            if host == "www.ncei.noaa.gov":
                headers["ETag"] = '"invented-1"'
            return headers

        def _broken(self, fault: str, host: str, path: str, query: dict[str, str]) -> bool:
            kind, _, value = fault.partition(":")
            if kind in ("500", "503", "429"):
                self._send(int(kind), b'{"title": "sorry"}', {"Retry-After": value} if value else {})
            elif kind == "login":
                self._send(200, LOG_IN, {"Content-Type": "text/html"})
            elif kind == "redirect":
                self._send(302, b"", {"Location": value})
            elif kind == "empty":
                self._send(200, b"")
            elif kind in ("cut", "drip"):
                body = _body(standin, host, path, query, "") or b""
                self.send_response(200)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                if kind == "cut":
                    self.wfile.write(body[: len(body) // 2])
                else:
                    try:
                        for at in range(0, 200):
                            self.wfile.write(body[at : at + 1])
                            self.wfile.flush()
                            time.sleep(0.05)
                    except OSError:
                        pass
                self.close_connection = True
            else:
                return False
            return True

        def _send(self, code: int, body: bytes, headers: dict[str, str] | None = None) -> None:
            packed = len(body) > 1000 and "gzip" in self.headers.get("Accept-Encoding", "")
            if packed:
                body = gzip.compress(body, 1)
            self.send_response(code)
            for name, value in (headers or {}).items():
                self.send_header(name, value)
            if packed:
                self.send_header("Content-Encoding", "gzip")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

    return Handler


def _numbers(path: str, query: dict[str, str]) -> list[str]:
    places = path.split("/")[1].split(",") if path.startswith("points/") else []
    return [*places, *(query.get(key, "") for key in ("lat", "lon"))]


def _body(standin: Standin, host: str, path: str, query: dict[str, str], fault: str) -> bytes | None:
    if host == "www.ncei.noaa.gov":
        return _noaa(standin, path, fault)
    if host == "power.larc.nasa.gov":
        if fault == "shape":
            return b'{"properties": {"values": {}}}'
        if fault == "half":
            query = query | {"end": f"{int(query['start'][:4])}0630"}
        return power_json(query, units="K" if fault == "units" else "C")
    if host == "api.weather.gov":
        if path.startswith("points/"):
            return None if fault == "unknown" else points_json()
        if fault == "shape":
            return b'{"properties": {"forecastOffice": "x", "grid": 3}}'
        unit = "wmoUnit:K" if fault == "units" else "wmoUnit:degC"
        return grid_json(
            unit=unit, hours=20 if fault == "half" else 150, old=-9.0 if fault == "ahead" else 0.0
        )
    if host == "api.met.no":
        return point_json(query)
    if host == "opendata.dwd.de":
        return _german(standin, path)
    return None


GERMANS = (
    ("00044", 51.10, 9.90, 212, "Erfundenhausen, Bad"),
    ("00055", 51.12, 9.95, 640, "Erdacht auf der Höh"),
)
SPLIT = date(2024, 12, 31)


def _german(standin: Standin, path: str) -> bytes | None:
    name = path.rpartition("/")[2]
    if name == "KL_Tageswerte_Beschreibung_Stationen.txt":
        head = (
            "Stations_id von_datum bis_datum Stationshoehe geoBreite geoLaenge Stationsname Bundesland Abgabe"
        )
        lines = [
            f"{one[0]} 20100101 {standin.today:%Y%m%d} {one[3]:14} {one[1]:11.4f} {one[2]:9.4f} {one[4]:40} Hessen Frei"
            for one in GERMANS
        ]
        lines.append("00066 19510101 20110331 344 51.1000 9.9100 Längst Vorbei Hessen Frei")
        return ("\r\n".join([head, "----------- ---------", *lines]) + "\r\n").encode("latin-1")
    if name == "":
        links = "".join(
            f'<a href="tageswerte_KL_{one[0]}_20100101_{SPLIT:%Y%m%d}_hist.zip">' for one in GERMANS
        )
        return f"<html>{links}</html>".encode()
    number = name.removeprefix("tageswerte_KL_")[:5]
    station = next((one for one in GERMANS if one[0] == number), None)
    if station is None:
        return None
    first, last = (BEGINS, SPLIT) if name.endswith("_hist.zip") else (date(2024, 6, 1), standin.today)
    rows = ["STATIONS_ID;MESS_DATUM;  FM; RSK; UPM; TXK; TNK; TGK;eor"]
    day = first
    while day <= last - timedelta(days=0 if last == SPLIT else 1):
        low, high = _warmth(day, -0.0065 * (station[3] - 212))
        rows.append(
            f"{number};{day:%Y%m%d};   2.9;   0.4;  71.00; {high:5.1f}; {low:5.1f}; {low - 2:5.1f};eor"
        )
        day += timedelta(days=1)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            f"produkt_klima_tag_{first:%Y%m%d}_{last:%Y%m%d}_{number}.txt", "\r\n".join(rows) + "\r\n"
        )
        archive.writestr(f"Metadaten_Geographie_{number}.txt", "invented")
    return packed.getvalue()


def _noaa(standin: Standin, path: str, fault: str) -> bytes | None:
    if path.endswith("ghcnd-stations.txt"):
        return station_list()[:200] if fault == "half" else station_list()
    if path.endswith("ghcnd-inventory.txt"):
        return inventory()
    station = path.rpartition("/")[2].removesuffix(".csv")
    if station not in {one[0] for one in STATIONS}:
        return None
    body = station_csv(standin, station, factor=1 if fault == "units" else 10)
    if fault == "half":
        return body[: body.rindex(b"\n", 0, len(body) // 2) + 1]
    if fault == "shape":
        return body.replace(b'"TMIN"', b'"NIGHT"', 1)
    return body


if __name__ == "__main__":
    with Standin(int(sys.argv[1]) if len(sys.argv) > 1 else 0) as running:
        print(f"TOPWIRE_STANDIN={running.address}")
        running.thread.join()
