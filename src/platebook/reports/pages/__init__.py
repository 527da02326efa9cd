"""Results as pages to print and hand out."""
