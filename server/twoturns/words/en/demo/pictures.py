"""What `twoturns/demo/pictures.py` says."""

DRAWN_DEMO = "drawn, a demo"
