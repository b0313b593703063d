"""What `twoturns/procedure/prove/phrases.py` says."""

NOTHING_NEW = "nothing new"
BEGUN_AND_LEFT = "{said}: begun and left. A look finds: {listed}."
PASSED_WITH_REASON = "{said}: passed with a reason"
LOOK_FINDS = "{said} A look finds: {found}."
