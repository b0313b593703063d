"""What `twoturns/trade/coolant.py` says."""

FILL_CONCENTRATE_FIRST = (
    "Impossible in one fill: fill concentrate, run warm, drain again and fill once more."
)
FILL_WATER_FIRST = "Impossible in one fill: fill water, run warm, drain again and fill once more."
MIX_BEFORE_FILLING = "Mixed before it is filled: {concentrate_pct} % concentrate."
