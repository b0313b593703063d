"""What `twoturns/demo/workshop.py` says."""

NOT_A_DEMO = "{folder} holds something that is no demo"
NOT_A_DEMO_HINT = "Name another folder with --data: what is in this one stays as it is."
