"""What `twoturns/ledger/bodies_of_audits.py` says."""

FILTER_MEMBERS = "days, person, bundle, engine_code, exception, tool, lot"
