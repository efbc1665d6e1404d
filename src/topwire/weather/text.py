"""A file's bytes to text, or a sentence why not."""

from pathlib import Path

from topwire.files.own_file import own_bytes
from topwire.values.fault import Faults, fault
from topwire.weather.german import unpacked

LARGEST = 100_000_000  # bytes; a century of days is 2 MB, forty years of hours 20 MB
_SHEET = "Open it in the program that wrote it and save it as CSV (UTF-8)."
# First bytes of files people take for weather tables.
_SIGNATURES = {
    b"PK\x03\x04": (
        "is a spreadsheet or a packed archive, not a text file.",
        f"{_SHEET} Unpack an archive first.",
    ),
    b"\xd0\xcf\x11\xe0": ("is a spreadsheet of the old kind, not a text file.", _SHEET),
    b"\x1f\x8b": ("is packed (gzip).", "Unpack it first."),
    b"%PDF": ("is a PDF, not a table.", "Bring the table the PDF was made from."),
    b"CDF": ("is a NetCDF file.", "Ask the data service for CSV."),
    b"\x89HDF": ("is an HDF file.", "Ask the data service for CSV."),
}


def read_text(path: Path, label: str) -> str:
    """The text of a weather file.

    UTF-8 is expected; UTF-16 with its mark and the Windows table 1252, which spreadsheets write, are taken too.

    Raises
    ------
    Faults
        Not there, too large (told before anything is read), empty, or no text.
    """
    return text_of(own_bytes(path, label, label, LARGEST), label)


def text_of(raw: bytes, label: str) -> str:
    """The text of a weather file's bytes. Raises Faults where they are none."""
    if not raw.strip():
        raise Faults([fault(label, "is empty.", "docs/weather.md shows what a weather file looks like.")])
    if raw.startswith(b"PK") and (body := unpacked(raw, LARGEST)) is not None:
        return _decoded(body, label)
    for signature, (says, remedy) in _SIGNATURES.items():
        if raw.startswith(signature):
            raise Faults([fault(label, says, remedy)])
    return _decoded(raw, label)


def _decoded(raw: bytes, label: str) -> str:
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        try:
            return raw.decode("utf-16")
        except UnicodeDecodeError:
            raise Faults([fault(label, "is not a text file.", _SHEET)]) from None
    sample = raw[:4096]
    control = sum(byte < 32 and byte not in (9, 10, 12, 13, 26) for byte in sample)
    if b"\x00" in raw or control > len(sample) // 100:
        raise Faults([fault(label, "is not a text file.", _SHEET)])
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("cp1252", errors="replace")
