"""Benchmarks: what the methods reach and cost, as ratios with their Monte Carlo error."""
