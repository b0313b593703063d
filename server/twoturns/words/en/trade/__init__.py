"""What `trade` says."""
