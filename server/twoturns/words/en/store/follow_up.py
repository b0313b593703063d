"""What `twoturns/store/follow_up.py` says."""

NO_MATTER = "no recall and no check of a tool that is here has this name"
NO_MATTER_HINT = "Take it from the page of the lot or of the tool."
HEAD = {
    "plate": "Plate",
    "vin": "VIN",
    "engine": "Engine",
    "km": "km",
    "miles": "miles",
    "customer": "Customer",
    "phone": "Telephone",
    "begun": "Job begun",
    "state": "State",
    "said": "Last said",
    "on": "On",
    "what": "Part or fastener",
    "lot": "Lot",
    "value": "Written down",
    "unit": "Unit",
    "actual": "Was really",
    "low": "Least",
    "high": "Most",
    "verdict": "Verdict",
}
DONE = "done"
TO_DO = "to do"
HOW = {
    "told": "told",
    "not_reached": "not reached",
    "answered": "answered",
    "replaced": "replaced",
    "retightened": "tightened again",
    "accepted": "taken over as it is",
}
VERDICT = {
    "outside": "outside its limits",
    "unknown": "not known",
    "inside": "inside its limits",
}
