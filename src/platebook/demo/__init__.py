"""Simulated setters; the demo class and the tests share them.

| module | holds |
|---|---|
| `evening_class` | the invented class: `evening_class(seed)` |
| `simulated_setter`, `simulated_record`, `benches`, `roster` | how its attempts come about |
| `planted` | logs with planted truth, for what findings must find |
| `learners` | simulated learners, for what the next exercise is measured on |
"""
