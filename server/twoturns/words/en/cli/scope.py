"""What `twoturns/cli/scope.py` says."""

ONLY_AUDITORS_LIMITED = "only an auditor is limited to jobs, days or values"
