"""What the invented seasons are drawn from: a seed, the rows of the inn, and the dates of the real weather."""

import csv
import random
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import numpy as np

from topwire.catalogue.model import Catalogue
from topwire.catalogue.tables import read_tables
from topwire.phenology.answer import answer
from topwire.phenology.question import question
from topwire.plan.read import parse_plan
from topwire.records.entries import Entry
from topwire.weather.read import read_weather

HERE = Path(__file__).parent
EXAMPLES = HERE.parent
SEED, FIRST, LAST, PLANTED = 14, 2015, 2019, 2014
KG_A_TREE = (0.0, 0.3, 1.5, 5.0, 8.0)  # invented, by leaf
MOST_CRATE = 18.0  # kg
WHO = ("Ann", "Ben", "Ruth")


class Invented:
    """The entries so far, and the drawing of what comes next."""

    def __init__(self, seed: int) -> None:
        self.draw = random.Random(seed)
        self.entries: list[Entry] = []
        self.crates = 0

    def add(self, kind: type[Entry], day: date, **facts: Any) -> Entry:
        evening = datetime(day.year, day.month, day.day, 19, self.draw.randrange(60), tzinfo=UTC)
        made = kind(
            day=day,
            identity=str(UUID(int=self.draw.getrandbits(128), version=4)),
            noted=facts.pop("noted", evening),
            who=facts.pop("who", self.draw.choice(WHO)),
            **facts,
        )
        self.entries.append(made)
        return made

    def near(self, middle: float, spread: float) -> float:
        return self.draw.gauss(middle, spread)


def rows() -> list[dict[str, Any]]:
    with (HERE / "valley_inn_rows.csv").open(encoding="utf-8", newline="") as stream:
        return [
            {**line, "row": int(line["row"]), "first": int(line["first"]), "last": int(line["last"])}
            for line in csv.DictReader(stream)
        ]


def dates() -> tuple[dict[tuple[str, int], tuple[date, date, date]], Any]:
    """First pick, last pick and full bloom of each cultivar and year, by the model; and the daily weather."""
    plan = parse_plan((EXAMPLES / "valley-inn-seasons/plan.yaml").read_text(encoding="utf-8"))
    weather = read_weather([EXAMPLES / "valley-inn/weather/daily.csv"])
    seasons = answer(question(plan, Catalogue(read_tables()), weather))
    found = {}
    for at, year in enumerate(seasons.years.tolist()):
        for number, name in enumerate(seasons.cultivars):
            days = [
                getattr(seasons, field)[at, number]
                for field in ("full_bloom", "harvest_first", "harvest_last")
            ]
            if FIRST <= year <= LAST and np.isfinite(days).all():
                made = [date(year, 1, 1) + timedelta(days=round(float(day)) - 1) for day in days]
                found[name, year] = (made[0], made[1], made[2])
    return found, weather
