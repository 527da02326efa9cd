"""Simulated learners and planted logs, whose truth is known, for tests and benchmarks."""
