"""What every section of the plan file has in common."""

from pydantic import BaseModel, ConfigDict


class Section(BaseModel):
    """A frozen part of the plan; a key it does not know is a fault."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", validate_default=False, populate_by_name=True, allow_inf_nan=False
    )
