"""The sun, the hours of a day, the air and reference evapotranspiration held against published figures."""

from collections.abc import Callable
from functools import partial

import numpy as np
import numpy.typing as npt

from topwire.catalogue.model import Mark
from topwire.checks import Check
from topwire.weather import air, evapotranspiration, hours, radiation, sun

# Day length with refraction, sunrise, sunset, and hours of FAO-56, by latitude and day of year.
_DAYS = (
    (50, 40, 9.7167, 7.1416, 16.8584, 9.4950),
    (50, 172, 16.3730, 3.8135, 20.1865, 16.1469),
    (50, 355, 8.0743, 7.9628, 16.0372, 7.8533),
    (45, 172, 15.6193, 4.1904, 19.8096, 15.4248),
    (-20, 246, 11.7361, 6.1319, 17.8681, 11.6656),
)
# Hours 0 to 23 of the middle of three days.
_CASE_A = (
    "4.363 3.834 3.375 2.971 2.610 2.284 2.189 4.503 6.723 8.765 10.552 12.017 13.105 13.774 14.000 13.774 13.105 "
    "12.017 10.552 10.418 8.198 6.769 5.766 4.992"
)
_CASE_B = (
    "6.524 6.182 5.887 5.627 5.394 5.183 5.159 7.282 9.319 11.194 12.834 14.179 15.178 15.792 16.000 15.792 15.178 "
    "14.179 12.834 12.722 9.615 7.632 6.238 5.162"
)


def checks() -> list[Check]:
    """Every check of this room."""
    return [
        *_day_lengths(),
        *_hours(),
        *_small_examples(),
        *_worked_examples(),
    ]


def _check(
    quantity: str,
    source: str,
    published: float,
    ours: Callable[[], npt.ArrayLike],
    tolerance: float,
    mark: Mark,
) -> Check:
    return Check("Place", quantity, source, published, lambda: float(np.asarray(ours())), tolerance, mark)


def _day_lengths() -> list[Check]:
    found = []
    for latitude, day, length, rise, fall, plain in _DAYS:
        for what, value, ours in (
            ("day length", length, sun.day_length),
            ("sunrise", rise, _sunrise),
            ("sunset", fall, _sunset),
            ("daylight hours of FAO-56", plain, _daylight),
        ):
            quantity = f"{what}, latitude {latitude}, day {day} [h]"
            found.append(_check(quantity, "DAYCHECK", value, partial(ours, latitude, day), 0.001, Mark.READ))
    return found


def _sunrise(latitude: float, day: int) -> npt.ArrayLike:
    return 12 - sun.day_length(latitude, day) / 2


def _sunset(latitude: float, day: int) -> npt.ArrayLike:
    return 12 + sun.day_length(latitude, day) / 2


def _daylight(latitude: float, day: int) -> npt.NDArray[np.float64]:
    return np.asarray(24 / np.pi * sun.sunset_angle(latitude, day))  # equation 34


def _hours() -> list[Check]:
    cases = (
        ("latitude 50, days 79 to 81, 2 to 14 deg C", _CASE_A, 50.0, [2, 2, 2], [14, 14, 14]),
        ("latitude 45, days 79 to 81, 2 5 1 to 14 16 12 deg C", _CASE_B, 45.0, [2, 5, 1], [14, 16, 12]),
    )
    found = []
    for where, printed, latitude, low, high in cases:
        table = np.array([float(cell) for cell in printed.split()])

        def worst(
            at: float = latitude,
            tmin: list[int] = low,
            tmax: list[int] = high,
            table: npt.NDArray[np.float64] = table,
        ) -> float:
            made = hours.hourly_temperature([79, 80, 81], tmin, tmax, at)[1]
            return float(np.abs(made - table).max())

        found.append(
            _check(
                f"largest difference of 24 hours of the sine and logarithm curve, {where} [K]",
                "DAYCHECK",
                0.0,
                worst,
                0.005,
                Mark.READ,
            )
        )
    return found


def _small_examples() -> list[Check]:
    """Examples 2 to 14 of FAO-56, to the digits printed."""
    lyon = 45 + 43 / 60
    example8 = (-20, 246)
    rows: list[tuple[str, str, float, Callable[[], npt.ArrayLike], float]] = [
        ("air pressure at 1,800 m [kPa]", "example 2", 81.8, lambda: air.air_pressure(1800) / 1e3, 0.05),
        (
            "psychrometric constant at 81.8 kPa [kPa/K]",
            "example 2",
            0.054,
            lambda: air.psychrometric_constant(81_800) / 1e3,
            0.0005,
        ),
        ("saturation pressure, 24.5 deg C [kPa]", "example 3", 3.075, lambda: _kpa(24.5), 0.0005),
        ("saturation pressure, 15 deg C [kPa]", "example 3", 1.705, lambda: _kpa(15), 0.0005),
        (
            "mean saturation pressure, 15 to 24.5 deg C [kPa]",
            "example 3",
            2.39,
            lambda: air.mean_saturation_pressure(15, 24.5) / 1e3,
            0.005,
        ),
        (
            "inverse distance of the sun, day 246 [-]",
            "example 8",
            0.985,
            lambda: sun.inverse_distance(246),
            0.0005,
        ),
        ("declination, day 246 [rad]", "example 8", 0.120, lambda: sun.declination_fao(246), 0.0005),
        (
            "sunset angle, latitude -20, day 246 [rad]",
            "example 8",
            1.527,
            lambda: sun.sunset_angle(*example8),
            0.0005,
        ),
        (
            "extraterrestrial radiation, latitude -20, day 246 [MJ/m2/d]",
            "example 8",
            32.2,
            lambda: sun.extraterrestrial_radiation(*example8),
            0.05,
        ),
        (
            "daylight hours, latitude -20, day 246 [h]",
            "example 9",
            11.7,
            lambda: _daylight(*example8),
            0.05,
        ),
        (
            "net long-wave radiation, 19.0 to 25.1 deg C, 2.1 kPa, 14.5 of 18.8 MJ/m2/d [MJ/m2/d]",
            "example 11",
            3.5,
            lambda: radiation.net_longwave_daily(19.0, 25.1, 2100, 14.5 / 18.8),
            0.05,
        ),
        (
            "radiation from a swing of 14.8 to 26.6 deg C, latitude 45.72, 15 July [MJ/m2/d]",
            "example 15",
            22.3,
            lambda: radiation.radiation_from_range(14.8, 26.6, sun.extraterrestrial_radiation(lyon, 196)),
            0.05,
        ),
        (
            "wind of 3.2 m/s at 10 m brought to 2 m [m/s]",
            "example 14",
            2.4,
            lambda: air.wind_at_two_metres(3.2, 10),
            0.05,
        ),
    ]
    remembered = ("example 11", "example 14", "example 15")
    return [
        _check(
            what, f"FAO56, {where}", value, ours, tolerance, Mark.MEMORY if where in remembered else Mark.READ
        )
        for what, where, value, ours, tolerance in rows
    ]


def _worked_examples() -> list[Check]:
    """Examples 17, 18 and 20: a month in the tropics, a day in Uccle, a month with nothing but temperature."""
    bangkok, uccle, lyon = 13 + 44 / 60, 50 + 48 / 60, 45 + 43 / 60

    def arriving(latitude: float, day: int, sunshine: float) -> npt.NDArray[np.float64]:
        share = sunshine / _daylight(latitude, day)
        return np.asarray(
            (0.25 + 0.50 * share) * sun.extraterrestrial_radiation(latitude, day)
        )  # equation 35

    def lost(
        latitude: float, day: int, sunshine: float, height: float, low: float, high: float, ea: float
    ) -> float:
        clear = radiation.clear_sky_radiation(sun.extraterrestrial_radiation(latitude, day), height)
        share = radiation.clearness(arriving(latitude, day, sunshine), clear)
        return float(radiation.net_longwave_daily(low, high, ea, share))

    def april() -> npt.ArrayLike:
        net = radiation.net_shortwave(arriving(bangkok, 105, 8.5)) - lost(
            bangkok, 105, 8.5, 2, 25.6, 34.8, 2850
        )
        return evapotranspiration.penman_monteith_daily(
            tmin=25.6, tmax=34.8, vapour=2850, wind=2, net_radiation=net, elevation=2, soil_heat=0.14
        )

    moisture = (air.vapour_pressure(12.3, 84) + air.vapour_pressure(21.5, 63)) / 2  # equation 17
    breeze = air.wind_at_two_metres(10 / 3.6, 10)

    def july_day() -> npt.ArrayLike:
        return evapotranspiration.reference_evapotranspiration(
            day_of_year=187,
            tmin=12.3,
            tmax=21.5,
            latitude=uccle,
            elevation=100,
            dew=air.dew_point(moisture),
            wind=breeze,
            sun=arriving(uccle, 187, 9.25),
        ).amount

    def july_of_temperatures() -> evapotranspiration.ReferenceEvapotranspiration:
        return evapotranspiration.reference_evapotranspiration(
            day_of_year=196, tmin=14.8, tmax=26.6, latitude=lyon, elevation=200
        )

    rows: list[tuple[str, float, Callable[[], npt.ArrayLike], float, Mark]] = [
        ("17: reference evapotranspiration, Bangkok, April [mm/d]", 5.72, april, 0.005, Mark.MEMORY),
        (
            "17: net long-wave radiation [MJ/m2/d]",
            3.11,
            lambda: lost(bangkok, 105, 8.5, 2, 25.6, 34.8, 2850),
            0.005,
            Mark.MEMORY,
        ),
        (
            "17: extraterrestrial radiation [MJ/m2/d]",
            38.06,
            lambda: sun.extraterrestrial_radiation(bangkok, 105),
            0.005,
            Mark.MEMORY,
        ),
        ("18: reference evapotranspiration, Uccle, 6 July [mm/d]", 3.88, july_day, 0.005, Mark.READ),
        ("18: wind at 2 m [m/s]", 2.078, lambda: breeze, 0.0005, Mark.READ),
        ("18: vapour pressure [kPa]", 1.409, lambda: moisture / 1e3, 0.0005, Mark.READ),
        (
            "18: saturation pressure [kPa]",
            1.997,
            lambda: air.mean_saturation_pressure(12.3, 21.5) / 1e3,
            0.0005,
            Mark.READ,
        ),
        ("18: slope [kPa/K]", 0.122, lambda: air.saturation_slope(16.9) / 1e3, 0.0005, Mark.READ),
        ("18: radiation [MJ/m2/d]", 22.07, lambda: arriving(uccle, 187, 9.25), 0.005, Mark.READ),
        (
            "18: clear-sky radiation [MJ/m2/d]",
            30.90,
            lambda: radiation.clear_sky_radiation(sun.extraterrestrial_radiation(uccle, 187), 100),
            0.005,
            Mark.READ,
        ),
        (
            "18: net long-wave radiation [MJ/m2/d]",
            3.71,
            lambda: lost(uccle, 187, 9.25, 100, 12.3, 21.5, float(moisture)),
            0.005,
            Mark.READ,
        ),
        (
            "20: reference evapotranspiration from temperature, Lyon, July [mm/d]",
            4.56,
            lambda: july_of_temperatures().amount,
            0.005,
            Mark.MEMORY,
        ),
        (
            "20: the same by Hargreaves [mm/d]",
            5.03,
            lambda: july_of_temperatures().by_temperature,
            0.005,
            Mark.MEMORY,
        ),
    ]
    return [
        _check(f"FAO-56 example {what}", f"FAO56, example {what[:2]}", value, ours, tolerance, mark)
        for what, value, ours, tolerance, mark in rows
    ]


def _kpa(temperature: float) -> npt.NDArray[np.float64]:
    return air.saturation_pressure(temperature) / 1e3
