"""House rules: what no procedure may let anyone do. YAML files, and what reads them."""
