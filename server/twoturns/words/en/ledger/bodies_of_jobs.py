"""What `twoturns/ledger/bodies_of_jobs.py` says."""

PASSED_MEMBERS = "rule, because, photo"
ADAPTOR_MEMBERS = "wrench_mm, adaptor_mm, angle_deg"
SAW_MEMBERS = "blob, size, type"
QUALITY_MEMBERS = "sharp_tenths, mean, blown_permille"
