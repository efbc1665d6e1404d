"""Where an orchard's entries are kept; apart, so that looking for them loads no database."""

from pathlib import Path

DATABASE = "records.db"  # beside plan.yaml
ELSEWHERE = "records.url"  # or the URL of a database that is not
TABLES = "records"  # folder of tables of the grower's own


def has_store(folder: Path) -> bool:
    """Whether entries are kept for the orchard, beside the plan or elsewhere."""
    return (folder / DATABASE).is_file() or (folder / ELSEWHERE).is_file()
