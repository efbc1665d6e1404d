"""Juice and cider: fruit for a volume, sugar, strength, acid, sulphite, pressure, vinegar."""

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

STRENGTH = (
    128.0  # [% alcohol by volume per unit of gravity] between 125 and 131, the two ends of a published table
)
STRENGTH_SPREAD = 3.0
SULPHITE_PK = 1.81  # first dissociation of sulphurous acid
PH_AT_1, PH_BY_ACID = 4.43, -1.14  # pH of juice over the logarithm of its acid, fitted (see ph_of_acid)
PH_SPREAD = 0.25  # standard deviation of the ten juices about that line
# Total SO2 at pressing up to a pH: the bands makers use; above the last the juice is made sharper first (SO2-PRESSING).
AT_PRESSING = ((3.0, 0.0), (3.3, 50.0), (3.5, 100.0), (3.8, 150.0))  # pH below which, [mg/L]
BLEND_FROM = AT_PRESSING[-1][0]  # pH from which on there is no dose and no free figure
LITRES_OF_A_MOLE = 22.41  # [L] of gas at 0 deg C and one atmosphere
VOLUME_OF_GAS = 1.964  # [g/L] of carbon dioxide in one volume (CIDER-CO2)
GAS_OF_SUGAR = 0.489  # [g/g] two molecules of carbon dioxide of one of glucose
SUGAR_OF_GRAVITY = 2400.0  # [g/L per unit of gravity]: five points are 12 g/L (CIDER-CO2)
AIR = 101_325.0  # [Pa]
VINEGAR_OF_ALCOHOL = 60.05 / 46.07 * 0.789  # [g of acetic acid per mL of alcohol], all of it turned
TURNED = 0.85  # share of the alcohol that turns to acid in a barrel: planning figure, no source
MOLECULAR = 0.8  # [mg/L] of molecular SO2 that keeps a dry cider (CIDER-SO2)


def brix_of_gravity(gravity: npt.ArrayLike) -> Array:
    """Sugar of a juice from its specific gravity. [degrees Brix] Cubic fit, 1.000 to 1.180 (ASBC, remembered)."""
    sg = np.asarray(gravity, dtype=float)
    brix: Array = 182.4601 * sg**3 - 775.6821 * sg**2 + 1262.7794 * sg - 669.5622
    return brix


def gravity_of_brix(brix: float) -> float:
    """Specific gravity of a juice from its sugar; inverse of :func:`brix_of_gravity`."""
    low, high = 1.0, 1.18
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if float(brix_of_gravity(middle)) < brix else (low, middle)
    return (low + high) / 2


def strength(gravity: npt.ArrayLike, per_gravity: float = STRENGTH) -> Array:
    """Alcohol of a cider fermented dry. [% by volume]"""
    alcohol: Array = per_gravity * (np.asarray(gravity, dtype=float) - 1)
    return alcohol


def free_sulphite(acidity: npt.ArrayLike, molecular: float = MOLECULAR) -> Array:
    """Free SO2 wanted at a pH. [mg/L]"""
    free: Array = molecular * (1 + 10 ** (np.asarray(acidity, dtype=float) - SULPHITE_PK))
    return free


def ph_of_acid(acid: npt.ArrayLike) -> Array:
    """pH of a juice guessed from its acid. [-]

    Parameters
    ----------
    acid : [g/L] as malic

    Notes
    -----
    Least squares over the logarithm of the acid of ten measured juices (WSU2013, GOVERD-JUICE), which stray by a
    quarter of a unit: juices of one acid differ in potassium. A meter is better.
    """
    ph: Array = PH_AT_1 + PH_BY_ACID * np.log10(np.maximum(np.asarray(acid, dtype=float), 0.1))
    return ph


def fruit_for(volume: float, *, juice: float, left: float) -> float:
    """Fruit at the mill for so much finished cider. [kg]

    Parameters
    ----------
    volume : [m3] in bottle, keg or cask
    juice : [L/kg] that the press gives
    left : share of the juice that stays after the lees
    """
    return 1000 * volume / (juice * left)


def volume_of(fruit: npt.ArrayLike, *, juice: float, left: float = 1.0) -> Array:
    """Juice of fruit at the mill, or what is left of it as cider; inverse of :func:`fruit_for`. [m3]"""
    volume: Array = np.asarray(fruit, dtype=float) * juice * left / 1000
    return volume


def ph_digits(*, read: bool) -> int:
    """Digits of a pH on a sheet: two of a meter's, one where nobody read it."""
    return 2 if read else 1


def told_ph(ph: float, *, read: bool) -> float:
    """A pH as it stands on a sheet, by which its sulphite is decided too: figure and dose never disagree."""
    return round(float(ph), ph_digits(read=read))


def sulphite_at_pressing(acidity: float) -> float | None:
    """Total SO2 makers add to fresh juice of a pH as it is told [mg/L]; None from BLEND_FROM on."""
    return next((dose for below, dose in AT_PRESSING if acidity < below), None)


def gas_absorbed(temperature: npt.ArrayLike) -> Array:
    """Carbon dioxide that water takes up under one atmosphere of it. [volumes]

    Parameters
    ----------
    temperature : [deg C], 0 to 30

    Notes
    -----
    Of fresh water: ln K = -58.0931 + 90.5069 (100 K/T) + 22.2940 ln(T/100 K), K in mol/(kg atm) (WEISS1974).
    """
    hundreds = (np.asarray(temperature, dtype=float) + 273.15) / 100
    solubility = np.exp(-58.0931 + 90.5069 / hundreds + 22.2940 * np.log(hundreds))
    absorbed: Array = LITRES_OF_A_MOLE * solubility
    return absorbed


def bottle_pressure(volumes: npt.ArrayLike, temperature: npt.ArrayLike) -> Array:
    """Pressure in a bottle over that of the air; below zero nothing lifts the cork. [Pa]

    Parameters
    ----------
    volumes : of carbon dioxide dissolved
    temperature : [deg C]
    """
    over: Array = AIR * (np.asarray(volumes, dtype=float) / gas_absorbed(temperature) - 1)
    return over


def gravity_to_ferment(volumes: float, there: float = 0.8) -> float:
    """Drop in gravity inside a closed bottle that makes so much gas.

    Parameters
    ----------
    volumes : wanted
    there : in the cider before it is bottled, 0.5 to 1 (CIDER-CO2)
    """
    return max(volumes - there, 0.0) * VOLUME_OF_GAS / GAS_OF_SUGAR / SUGAR_OF_GRAVITY


def vinegar_of(alcohol: npt.ArrayLike, turned: float = TURNED) -> Array:
    """Acetic acid of the vinegar a cider makes. [g/100 mL]

    Parameters
    ----------
    alcohol : [% by volume]
    """
    acid: Array = np.asarray(alcohol, dtype=float) * VINEGAR_OF_ALCOHOL * turned
    return acid
