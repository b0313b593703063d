"""What `instruments` says."""
