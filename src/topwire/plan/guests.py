"""Plan section on what guests are shown."""

import re

from pydantic import Field, field_validator

from topwire.plan.base import Section

_ADDRESS = re.compile(r"https?://[A-Za-z0-9.-]+(:[0-9]{1,5})?(/[A-Za-z0-9._~%/-]*)?")


class GuestsSection(Section):
    web_address: str | None = Field(
        None,
        max_length=120,
        description="where your own web site will hold the pages of `topwire guests`, "
        "“https://www.example.org/apples”; printed cards carry it as a square code, none without it",
    )

    @field_validator("web_address")
    @classmethod
    def _address(cls, value: str | None) -> str | None:
        if value is not None and not _ADDRESS.fullmatch(value):
            raise ValueError(
                "write a web address as “https://www.example.org/apples”: https:// first, no spaces, no “?” and no “#”"
            )
        return value if value is None else value.rstrip("/")
