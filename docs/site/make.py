"""Builds the site from code and texts: `make docs`. Nothing is fetched; every block marked to be run is run.

python docs/site/make.py [SITE]      the pages come into SITE (site/)
"""

import re
import shutil
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

import reference  # noqa: E402
import running  # noqa: E402

ROOT = HERE.parents[1]
PAGES = HERE / "pages"
STATIC = ROOT / "src/topwire/web/static"
RUN_FIRST = ("tutorial.md",)  # makes the orchard the others look at
FETCHES = re.compile(r"""<(?:script|img|iframe|link)\b[^>]*(?:src|href)=["'](?:https?:)?//[^"']+""")
IN_STYLES = re.compile(r"""(?:url\(|@import)\s*["']?(?:https?:)?//[^)"']+""")


def build(site: Path) -> None:
    """Raises BlockFailed, or SystemExit where Sphinx finds a link or a page amiss."""
    from sphinx.cmd.build import build_main

    with tempfile.TemporaryDirectory() as folder:
        orchards, source = Path(folder) / "orchards", Path(folder) / "source"
        orchards.mkdir()
        stage(source, orchards)
        wrong = build_main(
            [
                "-q",
                "-W",
                "--keep-going",
                "-b",
                "html",
                "-c",
                str(HERE),
                "-D",
                f"html_favicon={source / 'mark.svg'}",
                str(source),
                str(site),
            ]
        )
        if wrong:
            raise SystemExit(wrong)
    fetched = [
        f"{path.name}: {found}"
        for path in site.rglob("*.html")
        for found in FETCHES.findall(path.read_text(encoding="utf-8"))
    ]
    fetched += [
        f"{path.name}: {found}"
        for path in site.rglob("*.css")
        for found in IN_STYLES.findall(path.read_text(encoding="utf-8"))
    ]
    if fetched:
        raise SystemExit("a page would fetch from elsewhere: " + "; ".join(fetched[:5]))


def stage(source: Path, orchards: Path) -> None:
    """Texts with their blocks run, and the pages made from code, as Sphinx reads them."""
    shutil.copytree(PAGES, source)
    for path in (ROOT / "docs").glob("*.md"):
        shutil.copy(path, source / path.name)
    shutil.copytree(ROOT / "docs/pictures", source / "pictures", ignore=shutil.ignore_patterns("*.py"))
    shutil.copy(STATIC / "mark.svg", source / "mark.svg")
    for name in ("CHANGELOG.md", "CONTRIBUTING.md"):
        text = (ROOT / name).read_text(encoding="utf-8")
        (source / name.lower()).write_text(
            text.replace("](docs/", "](").replace("](CHANGELOG", "](changelog"), encoding="utf-8"
        )
    written = sorted(source.rglob("*.md"), key=lambda path: (path.name not in RUN_FIRST, str(path)))
    for path in written:
        text = path.read_text(encoding="utf-8")
        path.write_text(running.with_answers(text, orchards, path.name), encoding="utf-8")
    for name, text in reference.pages(orchards / "garden").items():
        (source / name).parent.mkdir(exist_ok=True)
        (source / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    site = Path(sys.argv[1] if len(sys.argv) > 1 else ROOT / "site")
    try:
        build(site)
    except running.BlockFailed as failed:
        raise SystemExit(str(failed)) from None
    print(f"Open {site / 'index.html'}")
