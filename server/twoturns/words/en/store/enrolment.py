"""What `twoturns/store/enrolment.py` says."""

NOT_ENROLMENT = "the line is a {wire_kind} that cannot be read as an enrolment"
NOT_ENROLMENT_HINT = "The app may be newer than the workshop's program: bring that up to date."
