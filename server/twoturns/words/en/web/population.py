"""What `twoturns/web/population.py` says."""

TOO_MANY = "more than {most} jobs have that in common"
NARROW_IT = "Freeze fewer at a time: take the days apart, half a year and half a year."
