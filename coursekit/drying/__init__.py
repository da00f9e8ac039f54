"""Weather, flash and cure."""

from coursekit.drying.weather import (
    Day,
    DewMargin,
    Hour,
    day,
    dew_margin,
    dew_point,
    hours,
    humidity_at,
    panel_after,
    saturation_pressure,
    sheet_lag,
)

__all__ = [
    "Day",
    "DewMargin",
    "Hour",
    "day",
    "dew_margin",
    "dew_point",
    "hours",
    "humidity_at",
    "panel_after",
    "saturation_pressure",
    "sheet_lag",
]
