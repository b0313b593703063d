"""What `twoturns/trade/coolant.py` says."""

IMPOSSIBLE_FILL_FILL = (
    "Impossible in one fill: fill concentrate, run warm, drain again and fill once more."
)
IMPOSSIBLE_FILL_FILL_WATER_RUN = (
    "Impossible in one fill: fill water, run warm, drain again and fill once more."
)
MIXED_BEFORE_FILLED_CONCENTRATE = "Mixed before it is filled: {concentrate_l} % concentrate."
