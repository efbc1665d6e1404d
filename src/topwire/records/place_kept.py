"""Where an orchard's entries are kept; apart, so that looking for them loads no database."""

DATABASE = "records.db"  # beside plan.yaml
ELSEWHERE = "records.url"  # or the URL of a database that is not
