"""A figure as people write it: decimals stand after a point, a comma stands between thousands alone."""

import re

NUMBER = r"(?:[1-9]\d{0,2}(?:,\d{3})+|\d+)(?:\.\d+)?(?![.,]?\d)"
_WITH_COMMA = re.compile(r"\d[\d.]*,[\d.,]*")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?")
_DECIMAL = re.compile(r"(\d+|[1-9]\d{0,2}(?:\.\d{3})+),(\d+)")  # 12,5 · 1.234,5


def number_of(written: str) -> float:
    """What a NUMBER says."""
    return float(written.replace(",", ""))


def with_point(text: str) -> str:
    """The text with “12,5” as 12.5 and “1,200” as 1200: for a field that holds one quantity and nothing else."""
    return _WITH_COMMA.sub(lambda found: _pointed(found[0]) or found[0], text)


def hold_commas(text: str) -> None:
    """Raises ValueError where a comma stands elsewhere than between thousands; it says what is right."""
    for found in _WITH_COMMA.finditer(text):
        if not _THOUSANDS.fullmatch(found[0]):
            pointed = _pointed(found[0])
            right = (
                f"write {pointed} with a point"
                if pointed
                else "one stands between thousands alone, as in 1,200"
            )
            raise ValueError(f"“{text[:60]}” has a comma that is not understood; {right}")


def _pointed(figure: str) -> str | None:
    """The figure without commas; None where nobody can tell what it says."""
    if _THOUSANDS.fullmatch(figure):
        return figure.replace(",", "")
    decimal = _DECIMAL.fullmatch(figure)
    return None if decimal is None else f"{decimal[1].replace('.', '')}.{decimal[2]}"
