"""What `twoturns/store/enrolment.py` says."""

LINE_CANNOT_READ_ENROLMENT = "the line is a {wire_kind} that cannot be read as an enrolment"
APP_MAY_NEWER_THAN_WORKSHOPS = (
    "The app may be newer than the workshop's program: bring that up to date."
)
