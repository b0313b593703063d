"""A nut that was tightened with a wrench, and what a check found of that wrench later."""

READ = {"step": "belt_on", "name": "t", "value": "26", "unit": "N·m", "tool": "tw 2"}
READ |= {"low": "24.96", "high": "27.04"}
FOUND = {"tool": "TW-2", "on": "2026-11-24", "unit": "N·m", "allowed_percent": "4"}
FOUND |= {"points": [{"nominal": n, "found": f} for n, f in (("20", "18.2"), ("100", "91"))]}
