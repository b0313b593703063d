"""What `twoturns/cli/scope.py` says."""

ONLY_AUDITOR_LIMITED_JOBS_DAYS = "only an auditor is limited to jobs, days or values"
