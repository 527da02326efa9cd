"""Findings: what goes with failure, in words and charts."""
