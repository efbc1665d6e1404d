"""What the documentation shows is run: its code blocks, its formulas' figures, its tables of results, its links."""

import re
import shlex
from pathlib import Path

import click
import numpy as np
import pytest

from topwire.catalogue.model import Catalogue
from topwire.catalogue.schemas import SCHEMAS
from topwire.catalogue.tables import overlaid, read_tables
from topwire.checks.growth import trials
from topwire.cli import main
from topwire.engine.steps import STEPS
from topwire.growth.findings import TrialFigure
from topwire.growth.leader import LEADER_GROWTH
from topwire.ledger.money import net_present_value
from topwire.plan.guests import GuestsSection
from topwire.plan.place import WeatherSection
from topwire.plan.read import parse_yaml
from topwire.protection.wetness import wet_by_tree
from topwire.records.read import read_records
from topwire.trellis.known_builds import KNOWN, KnownBuild, known_middle
from topwire.weather.mornings import read_mornings
from topwire.weather.read import read_weather

ROOT = Path(__file__).parents[2]
DOCS = sorted((ROOT / "docs").glob("*.md"))
PAGES = [*DOCS, ROOT / "README.md", ROOT / "CHANGELOG.md"]
FENCED = re.compile(r"^```(\w*)\n(.*?)^```", re.MULTILINE | re.DOTALL)
INDENTED = re.compile(r"(?:(?<=\n\n)|\A)((?:    \S.*\n(?:     .*\n)*)+)")


def page(name: str) -> str:
    return (ROOT / "docs" / name).read_text(encoding="utf-8")


def fenced(name: str) -> list[tuple[str, str]]:
    return FENCED.findall(page(name))


def indented(text: str) -> list[str]:
    return [re.sub("^    ", "", block, flags=re.MULTILINE) for block in INDENTED.findall(text)]


def beginning(blocks: list[str], start: str) -> str:
    (found,) = [block for block in blocks if block.startswith(start)]
    return found


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_links_lead_somewhere(path: Path) -> None:
    for target in re.findall(r"\]\((?!http)([^)#]+)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_commands_and_options_named_are_there(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    options = {
        name for command in main.commands.values() for option in command.params for name in option.opts
    }
    for name in re.findall(r"(?:`|    )topwire (\w+)", text):
        assert name in main.commands, name
    for line in re.findall(r"`topwire [^`]*`", text):
        for option in re.findall(r"--[a-z-]+", line):
            assert option in options | {"--help", "--version"}, line


COMMAND = re.compile(r"`topwire ([^`]*)`")


def asked_of(words: list[str]) -> tuple[click.Command, list[str]]:
    """The command a line of the pages runs, and its words."""
    command = main.commands[words[0]]
    if isinstance(command, click.Group):
        return (command.commands[words[1]], words[2:]) if len(words) > 1 else (command, [])
    return command, words[1:]


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_a_command_told_in_a_line_takes_what_it_is_given(path: Path) -> None:
    """Its own options, and of `show` a department, a sheet of one or a table that is there."""
    there = {step.name for step in STEPS} | {"catalogue", "cultivars", "rootstocks", "kitchen", "yields"}
    for line in COMMAND.findall(path.read_text(encoding="utf-8")):
        command, words = asked_of(shlex.split(line))
        own = {name for option in command.params for name in (*option.opts, *option.secondary_opts)}
        assert {word.partition("=")[0] for word in words if word.startswith("--")} <= own | {"--help"}, line
        if command is main.commands["show"] and words:
            what = [word for word in words[:2] if not word.startswith("--")][-1]
            assert what.partition(".")[0] in there | {"WHAT"}, line


def cells_of(line: str) -> list[str]:
    return [cell.strip() for cell in re.split(r"(?<!\\)\|", line.strip().strip("|"))]


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_every_row_of_a_table_has_its_heads_cells(path: Path) -> None:
    text = FENCED.sub("", path.read_text(encoding="utf-8"))
    for table in re.findall(r"(?:^\|.*\n)+", text, flags=re.MULTILINE):
        head, rule, *rows = table.splitlines()
        assert re.fullmatch(r"[|\s:-]+", rule), f"{head}: a table goes on without an empty line between"
        for row in rows:
            assert len(cells_of(row)) == len(cells_of(head)), row


def test_decided_cells_of_the_cultivars_page_are_the_catalogues() -> None:
    rows = read_tables()["cultivars"].rows
    decided = [
        cells_of(line) for line in page("cultivars.md").splitlines() if line.startswith("|") and "`" in line
    ]
    assert len(decided) > 50
    for cultivar, cell, _, now, _ in decided:
        stands = rows[cultivar].cells[cell.strip("`")]
        if cell == "`notes`":
            assert now in stands, cultivar
        else:
            assert stands.replace("|", "\\|") == now, (cultivar, cell)


def test_make_targets_named_are_there() -> None:
    made = re.findall(r"^(\w+):", (ROOT / "Makefile").read_text(encoding="utf-8"), flags=re.MULTILINE)
    for path in PAGES:
        for target in re.findall(
            r"(?:`|^    )make (\w+)", path.read_text(encoding="utf-8"), flags=re.MULTILINE
        ):
            assert target in made, f"{path.name}: make {target}"


def a_year(header: str, lines: list[str], hours: int = 1) -> str:
    """The two lines a page shows, gone on with in turn for a year; dates day by day, hours hour by hour."""
    made = [header]
    for day in range(400):
        date = str(np.datetime64("2021-01-01") + day)
        line = re.sub(r"^2021-05-0\d", date, lines[day % 2])
        for hour in range(hours):  # a degree warmer each hour: a day without warmth is told, as it should be
            cells = re.sub(r" \d\d:00", f" {hour:02d}:00", line).split(",")
            made.append(
                ",".join([cells[0], f"{float(cells[1]) + hour:g}", *cells[2:]]) if hours > 1 else line
            )
    return "\n".join(made) + "\n"


def test_daily_and_hourly_tables_of_the_weather_page_are_read(tmp_path: Path) -> None:
    blocks = [text for language, text in fenced("weather.md") if not language]
    daily, hourly = (beginning(blocks, start).splitlines() for start in ("date,tmin_c", "time,temp_c"))
    units = beginning(blocks, "# temperature: F").rstrip()
    for name, text, coldest in (
        ("a.csv", a_year(daily[0], daily[1:3]), 4.0),
        ("b.csv", a_year(units, ["2021-05-01;40,1;59,9;0,5", "2021-05-02;45,5;64,4;0"]), 4.5),
        ("c.csv", a_year(hourly[0], hourly[1:3], hours=24), 6.4),
    ):
        (tmp_path / name).write_text(text, encoding="utf-8")
        found = read_weather([tmp_path / name], labels=[name])
        assert found.tmin[200] == pytest.approx(coldest), name


def test_yaml_of_the_pages_is_a_plans() -> None:
    shown = [text for language, text in fenced("weather.md") if language == "yaml"]
    shown.append(beginning(indented(page("phenology.md")), "weather:"))
    for text in shown:
        WeatherSection.model_validate(parse_yaml(text, "plan.yaml")["weather"])


def test_mornings_of_the_weather_page_and_the_address_of_the_guests_page_are_read() -> None:
    (mornings,) = [text for language, text in fenced("weather.md") if text.startswith("date,lowest_f")]
    assert read_mornings(mornings, "mornings.csv").lowest == pytest.approx([-1.39, 5.0], abs=0.01)
    shown = beginning(indented(page("guests.md")), "guests:")
    GuestsSection.model_validate(parse_yaml(shown, "plan.yaml")["guests"])


def test_tables_of_the_phenology_page_are_read(tmp_path: Path) -> None:
    blocks = indented(page("phenology.md"))
    tables = read_tables()
    changes = beginning(blocks, "entry,change")
    _, faults = overlaid(
        tables["climate_changes"], SCHEMAS["climate_changes"], changes, "climate_changes.csv"
    )
    assert not faults
    (tmp_path / "records").mkdir()
    (tmp_path / "records/bloom.csv").write_text(beginning(blocks, "entry,cultivar"), encoding="utf-8")
    assert len(read_records(tmp_path, Catalogue(tables)).tables["bloom"].rows) == 2


def test_figures_of_the_bloom_formulas_are_the_programs() -> None:
    shape = {key: float(row.cells["value"]) for key, row in read_tables()["bloom_shape"].rows.items()}
    text = page("phenology.md")
    for shown, key in (
        (r"\(T − ([\d.]+)\)", "midpoint"),
        (r"\(T − [\d.]+\) / ([\d.]+)", "width"),
        (r"\(d − ([\d.]+)\)", "gate_day"),
        (r"\(d − [\d.]+\) / ([\d.]+)", "gate_width"),
        (r"1 \+ ([\d.]+) · exp", "extra"),
        (r"exp\(−([\d.]+) · \(portions", "fading"),
        (r"need of Golden Delicious is ([\d.]+) h", "need"),
        (r"at ([\d.]+) h a day", "heat_of_a_day"),
    ):
        (said,) = re.findall(shown, text.replace("\n", " "))
        digits = len(said.partition(".")[2])
        assert float(said) == pytest.approx(shape[key], abs=0.51 * 10**-digits), key


def test_the_wet_hours_of_the_protection_page_are_the_programs() -> None:
    block = beginning(indented(page("protection.md")), "D ≥")
    dry, calm, windy = block.strip().splitlines()
    signs = ((" √T", " * T ** 0.5"), ("²", " ** 2"), ("−", "-"))

    def formula(line: str) -> str:
        said = re.findall(r"wet when (.*)$", line)[0]
        for old, new in signs:
            said = said.replace(old, new)
        return re.sub(r"(?<=[\dA-Z]) (?=[A-Z])", " * ", said)

    (gap,), (still, damp) = (
        re.findall(r"[\d.]+", dry),
        re.findall(r"^W ≥ ([\d.]+):  dry when H < ([\d.]+)", windy)[0],
    )
    rng = np.random.default_rng(5)
    wet = []
    for _ in range(400):
        T, D, H, W = rng.uniform(1, 30), rng.uniform(0, 6), rng.uniform(40, 100), rng.uniform(0, 5)
        names = {"T": T, "D": D, "H": H, "W": W}
        shown = float(gap) > D and (
            eval(formula(calm), names)
            if float(still) > W
            else float(damp) <= H and eval(formula(windy), names)
        )
        wet.append(bool(shown))
        assert wet[-1] == bool(wet_by_tree(T, T - D, H, W)), names
    assert 20 < sum(wet) < 380


def test_the_value_of_the_ledger_page_is_the_programs() -> None:
    shown = beginning(indented(page("ledger.md")), "NPV")
    assert "cash flow of year t / (1 + interest)^t,   t = 0 in the planting year" in shown
    assert net_present_value([-100.0, 60.0, 80.0], 0.05) == pytest.approx(-100 + 60 / 1.05 + 80 / 1.05**2)


def test_growth_of_the_leader_is_the_programs() -> None:
    (said,) = re.findall(r"growth of the leader = ([\d.]+) m", page("trees.md"))
    assert float(said) == LEADER_GROWTH


def test_the_usual_trellis_of_the_pages_is_one() -> None:
    """Its measure, and the gusts at which half of its rows have gone over, wherever they are told."""
    text, usual = page("trellis.md").replace("\n  ", " "), KNOWN[KnownBuild.USUAL]
    ((inches, feet, more, apart),) = re.findall(
        r"posts of (\d+) in \(.*?\), (\d+) ft (\d+) in \(.*?\) deep, (\d+) ft", text
    )
    assert (float(inches) * 0.0254, float(apart) * 0.3048) == pytest.approx((usual.diameter, usual.spacing))
    assert float(feet) * 0.3048 + float(more) * 0.0254 == pytest.approx(usual.depth)
    soaked, moist = re.findall(r"goes over at (\d+) mph soaked and (\d+) mph moist", text)[0]
    bare, rooted = re.findall(r"\((\d+) mph without, (\d+) with, half of all rows", text)[0]
    for said, how in (
        (soaked, {"soaked": True}), (moist, {"soaked": False}),
        (rooted, {"soaked": True}), (bare, {"soaked": True, "trees": False}),
    ):  # fmt: skip
        assert float(said) * 0.44704 == pytest.approx(known_middle(KnownBuild.USUAL, **how), abs=0.23)


def test_the_table_of_trials_is_what_the_program_gives() -> None:
    """Ours within what a drawing of orchards may move them: 2 cm of height, 0.3 kg of crop."""
    by_stock: dict[str, dict[TrialFigure, tuple[float, float, float]]] = {}
    for line in trials():
        stock = line.trial.rpartition(", ")[2]
        figures = by_stock.setdefault(stock, {})
        figures[line.figure] = (line.published.value, line.thinned_to_rule.value, line.as_cropped.value)
    row = r"^\| ([^|]+) \| ([\d.]+) · ([\d.]+) \| ([\d.]+) · ([\d.]+) · ([\d.]+) \|$"
    rows = re.findall(row, page("trees.md"), re.MULTILINE)
    assert len(rows) == len(by_stock)
    for name, *said in rows:
        height, crop = by_stock[name][TrialFigure.HEIGHT], by_stock[name][TrialFigure.CROP_TO_LEAF_5]
        wanted = (height[0], height[1], *crop)
        for shown, value, within in zip(map(float, said), wanted, (0.006, 0.02, 0.06, 0.3, 0.3), strict=True):
            assert shown == pytest.approx(value, abs=within), name


def test_the_map_shown_names_cultivars_of_the_catalogue() -> None:
    drawn = (ROOT / "docs/pictures/ground.svg").read_text(encoding="utf-8")
    named = set(re.findall(r">([^<>]+) \(\d+\)<", drawn.replace("&#x27;", "'").replace("&apos;", "'")))
    assert named
    assert named <= set(read_tables()["cultivars"].rows), "run: make demo pictures"


def test_help_of_every_command_is_whole_sentences() -> None:
    for name, command in main.commands.items():
        said = click.Context(command).command.get_short_help_str(limit=400)
        assert said.endswith("."), name
        assert said[0].isupper(), name


def test_every_picture_of_the_readme_is_made_by_the_command() -> None:
    shown = re.findall(r"[(\"]docs/pictures/([\w.]+)[)\"]", (ROOT / "README.md").read_text(encoding="utf-8"))
    makers = "".join(
        (ROOT / "docs/pictures" / name).read_text(encoding="utf-8") for name in ("make.py", "pages.py")
    )
    recipe = (ROOT / "Makefile").read_text(encoding="utf-8")
    assert "docs/pictures/make.py" in recipe
    assert "docs/pictures/pages.py" in recipe
    assert {"choice.png", "phone.png"} <= set(shown)
    for name in shown:
        assert f'"{name}"' in makers, name
        assert (ROOT / "docs/pictures" / name).stat().st_size > 5_000, name
