"""The demo workshop, and the scripted phone that fills it as a real one would."""
