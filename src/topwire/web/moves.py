"""What a setting moves: the sheets whose columns rest on it, read off the Sheets themselves."""

from collections.abc import Iterable, Mapping

from topwire.show.sheet import LinkKind, Sheet
from topwire.web.contents import PAGES
from topwire.web.sheet_view import Leads


def moved_by(sheets: Iterable[Sheet]) -> Mapping[str, tuple[Leads, ...]]:
    """By setting, the sheets it moves, with their pages."""
    pages = {name: page for page in PAGES for name in page.departments}
    found: dict[str, dict[str, Leads]] = {}
    for sheet in sheets:
        page = pages.get(sheet.name.partition(".")[0])
        for column in sheet.columns if page else ():
            for link in column.links:
                if link.kind is LinkKind.SETTING and page is not None:
                    says = f"{page.title}: {sheet.title}"
                    found.setdefault(link.name, {})[sheet.name] = Leads(says, f"/{page.name}#{sheet.name}")
    return {setting: tuple(leads.values()) for setting, leads in found.items()}


def moves(index: Mapping[str, tuple[Leads, ...]], path: str) -> tuple[Leads, ...]:
    """What moves with the setting at `path`, which may stand inside one that is named as a whole."""
    while path:
        if path in index:
            return index[path]
        path = path.rpartition(".")[0]
    return ()
