"""What `twoturns/demo/pictures.py` says."""

CAPTION = "drawn, a demo"
