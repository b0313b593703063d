"""What `twoturns/store/views.py` says."""

NOTICES = {
    "bundle-withdrawn": "{what}, edition {edition}, was withdrawn: {detail}",
    "bundle-not-published": "its procedure was never published by this workshop",
    "tool-retired": "{what} ({detail}) was retired before this job was opened",
    "tool-not-calibrated": "{what} ({detail}) was not calibrated on that day",
}
