"""The base of the trade's values: frozen, checked, and no unknown key."""

from pydantic import BaseModel, ConfigDict


class Value(BaseModel):
    """A frozen value of the trade; two with equal fields are equal."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
