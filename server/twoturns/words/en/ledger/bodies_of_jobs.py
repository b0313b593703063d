"""What `twoturns/ledger/bodies_of_jobs.py` says."""

RULE_BECAUSE_PHOTO = "rule, because, photo"
WRENCH_MM_ADAPTOR_MM_ANGLE = "wrench_mm, adaptor_mm, angle_deg"
BLOB_SIZE_TYPE = "blob, size, type"
SHARP_TENTHS_MEAN_BLOWN = "sharp_tenths, mean, blown_permille"
